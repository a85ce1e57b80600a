import type { z } from 'zod'
import { StorageError } from './storage-error.ts'

/** Reads `text` as the schema says; `what` names it in the refusal: `A message`. */
export function readStored<Value>(schema: z.ZodType<Value>, text: string, what: string): Value {
  const sentence = `${what} in the database cannot be read.`
  let json: unknown
  try {
    json = JSON.parse(text)
  } catch {
    // without its cause: JSON.parse quotes the text, and the text may be a secret (X4)
    throw new StorageError('databaseIsDamaged', sentence)
  }
  const parsed = schema.safeParse(json)
  if (parsed.success) return parsed.data
  throw new StorageError('databaseIsDamaged', sentence, { cause: parsed.error })
}
