/** Whether the store took it; a full disk is expected (N2), all else is thrown. */
export function stored(work: () => void): boolean {
  try {
    work()
    return true
  } catch (cause) {
    if (cause instanceof Error && cause.name === 'StorageError') return false
    throw cause
  }
}
