/** What can be wrong with the place where everything is kept. */
export type StorageFault =
  | 'folderIsTaken'
  | 'databaseIsNewer'
  | 'databaseIsForeign'
  | 'databaseIsDamaged'
  | 'databaseIsBusy'
  | 'databaseIsMissing'
  | 'databaseIsThere'
  | 'diskIsFull'
  | 'diskIsReadOnly'
  | 'diskIsFailing'
  | 'diskIsTheSame'

/** A broken or refused storage: `code` for programs, `message` a plain sentence for people, `cause` what SQLite said. */
export class StorageError extends Error {
  override readonly name = 'StorageError'
  readonly code: StorageFault

  constructor(code: StorageFault, sentence: string, options?: ErrorOptions) {
    super(sentence, options)
    this.code = code
  }
}

/** Names what SQLite or the file system threw while `doing`; anything else comes back as it was. */
export function storageError(doing: string, cause: unknown): unknown {
  if (cause instanceof StorageError || !(cause instanceof Error)) return cause
  const fault = faultOf(cause)
  if (fault === null) return cause
  return new StorageError(fault, `${sentenceOf[fault]} (while ${doing}: ${cause.message})`, { cause })
}

/** Does `work`; what it throws comes out as `storageError` names it. */
export function tried<Value>(doing: string, work: () => Value): Value {
  try {
    return work()
  } catch (cause) {
    throw storageError(doing, cause)
  }
}

/** Whether the bytes of the database have changed: what to do about it is for `suspect` and the next opening. */
export function isDamage(error: unknown): boolean {
  const named = storageError('', error)
  return named instanceof StorageError && named.code === 'databaseIsDamaged'
}

/** Whether the disk does not take what it is given, or does not give it back: it may do so again later. */
export function isDiskFault(error: unknown): error is StorageError {
  return error instanceof StorageError && diskFaults.has(error.code)
}

const diskFaults: ReadonlySet<StorageFault> = new Set(['diskIsFull', 'diskIsReadOnly', 'diskIsFailing'])

const sentenceOf: Record<StorageFault, string> = {
  folderIsTaken: 'Another Brumal is already running on this folder.',
  databaseIsNewer: 'The database was written by a newer Brumal.',
  databaseIsForeign: 'The database was not written by Brumal.',
  databaseIsDamaged: 'The database is damaged.',
  databaseIsBusy: 'The database is held by another program.',
  databaseIsMissing: 'There is no database.',
  databaseIsThere: 'There is a database already.',
  diskIsFull: 'The disk is full.',
  diskIsReadOnly: 'The folder of the database cannot be written to.',
  diskIsFailing: 'The disk cannot be read or written.',
  diskIsTheSame: 'The copies would be on the disk that they are a copy of.',
}

// Result codes: sqlite.org/rescode.html; the part before the second underscore is the primary code
const faults: readonly (readonly [code: RegExp, fault: StorageFault])[] = [
  [/^(?:SQLITE_FULL|ENOSPC|EDQUOT)/, 'diskIsFull'],
  [/^(?:SQLITE_READONLY|EROFS|EACCES|EPERM)/, 'diskIsReadOnly'],
  [/^(?:SQLITE_CORRUPT|SQLITE_NOTADB)/, 'databaseIsDamaged'],
  [/^(?:SQLITE_BUSY|SQLITE_LOCKED)/, 'databaseIsBusy'],
  // ENOENT: what mkdir says of a folder that is to be made on a read-only disk
  [/^(?:SQLITE_IOERR|SQLITE_CANTOPEN|EIO|ENOTDIR|EEXIST|ENOENT)/, 'diskIsFailing'],
]

function faultOf(error: Error): StorageFault | null {
  const code = 'code' in error && typeof error.code === 'string' ? error.code : ''
  return faults.find(([pattern]) => pattern.test(code))?.[1] ?? null
}
