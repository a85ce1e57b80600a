/** One structured line per event; the object first, the sentence second. Never given a secret (X4). */
export interface Log {
  debug(about: object, sentence: string): void
  info(about: object, sentence: string): void
  warn(about: object, sentence: string): void
  error(about: object, sentence: string): void
}
