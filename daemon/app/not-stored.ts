import { say } from '../../shared/words/say.ts'

/** The answer to a change that the store does not take: it was not made (N2). */
export const notStored = {
  ok: false,
  error: 'notStored',
  sentence: say('Nothing can be stored just now, so nothing was changed. Watching and telling go on.'),
} as const
