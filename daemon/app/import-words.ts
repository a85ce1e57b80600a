import type { Household } from '../../schemas/household.ts'
import type { ImportId, ImportLine } from '../../schemas/import.ts'
import { localDate } from '../../shared/time/wall.ts'

/** Imports that are remembered (X3): ten a winter for twenty winters. */
export const mostImports = 200

const longestName = 80

export const idOf = (at: number): ImportId => `t${at.toString(36).padStart(9, '0')}` as ImportId

/** A name to show: what a browser sends may be a path, and anything else. */
export function nameOf(file: string): string {
  const name = (file.split(/[\\/]/).at(-1) ?? '').replaceAll(/\p{Cc}/gu, '').trim()
  return name === '' ? 'table.csv' : name.slice(0, longestName)
}

export function importedWords(
  { file, added, known, span, sensors, state }: ImportLine,
  household: Household,
): string {
  const { timeZone, loggers = [] } = household
  const names = sensors.map(
    (id) => [...household.sensors, ...loggers].find((one) => one.id === id)?.name ?? id,
  )
  const when =
    span === null ? '' : ` of ${localDate(span.first, timeZone)} to ${localDate(span.last, timeZone)}`
  const more = known === 0 ? '' : ` ${known} were there already.`
  const end = state === 'done' ? '' : ' It ended before its end.'
  return `Took in ${file}: ${added} readings${when}, for ${names.join(', ')}.${more}${end}`.slice(0, 500)
}

export function whyBroken(cause: unknown): string {
  if (cause instanceof Error && cause.name === 'StorageError')
    return 'Nothing more could be stored. Take it back, or send the table again when there is room.'
  return 'Something went wrong; the log says what.'
}

export const wasStopped =
  'Brumal was stopped while it was taken in. Take it back, or send the table again: what is there stays as it is.'

export const wasHalfBack = 'Brumal was stopped while it was taken back. Take it back once more.'

export const noSuchImport = {
  ok: false,
  error: 'noSuchImport',
  sentence: 'There is no such table any more. Send it again.',
} as const
export const busy = {
  ok: false,
  error: 'busy',
  sentence: 'A table is being taken in, or taken back. Wait until that is done.',
} as const
export const askZone = {
  ok: false,
  error: 'askZone',
  sentence: 'Its times are local: say in which time zone the logger’s clock ran.',
} as const
export const askDayOrder = {
  ok: false,
  error: 'askDayOrder',
  sentence: 'Its dates may be read in two ways: say whether the day or the month comes first.',
} as const
export const tooMany = {
  ok: false,
  error: 'tooMany',
  sentence: `At most ${mostImports} imports are remembered. Take one back first.`,
} as const
