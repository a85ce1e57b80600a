/** `12.3 MB`, `150 MB`, `2.0 GB`. Powers of 1000, as disks are sold and as the settings take them. */
export function bytesWords(bytes: number): string {
  let size = bytes
  let unit = 0
  // What would be rounded to 1000 is one of the next unit.
  while (unit < units.length - 1 && size >= 999.5) {
    size /= 1000
    unit += 1
  }
  const isWhole = unit === 0 || size >= 99.95
  return `${isWhole ? Math.round(size) : size.toFixed(1)} ${units[unit] ?? ''}`
}

const units = ['B', 'kB', 'MB', 'GB', 'TB'] as const
