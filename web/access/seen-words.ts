import { say } from '../../shared/words/say.ts'

const hourMs = 3_600_000
const dayMs = 86_400_000

/** When something was last used: written down at most hourly, so nothing finer is claimed. `ms` is how long ago. */
export const usedWords = (ms: number): string =>
  ms < hourMs ? say('used within the hour') : say('last used {whole} ago', { whole: whole(ms) })

/** How long something still holds: `for 6 d more`. */
export const lastsWords = (ms: number): string =>
  ms <= 0 ? say('over') : say('for {whole} more', { whole: whole(ms) })

/** In whole hours or days: what is days away needs no hours beside them. */
function whole(ms: number): string {
  const hours = Math.max(1, Math.round(ms / hourMs))
  return hours < 48 ? `${hours} h` : `${Math.round(ms / dayMs)} d`
}
