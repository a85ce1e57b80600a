import { say } from '../words/say.ts'

/** A local date as it is said within a year: `3 November`. */
export function dayWords(date: string): string {
  const [, month, day] = date.split('-')
  return `${Number(day)} ${months[Number(month) - 1]}`
}

/** `1 day`, `12 days`. */
export const countWords = (count: number, one: string): string => `${count} ${count === 1 ? one : `${one}s`}`

const months = [
  say('January'),
  say('February'),
  say('March'),
  say('April'),
  say('May'),
  say('June'),
  say('July'),
  say('August'),
  say('September'),
  say('October'),
  say('November'),
  say('December'),
] as const
