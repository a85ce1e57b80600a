export type RandomBytes = (count: number) => Uint8Array

/** Signs text so that nobody else can make or change it. */
export interface Seal {
  seal(text: string): string
  /** The text, or null where the seal is not ours. */
  open(token: string): string | null
}
