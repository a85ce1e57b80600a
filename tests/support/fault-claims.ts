import { isDeepStrictEqual } from 'node:util'
import { tooCold } from './fault-house.ts'
import type { Plan, Told } from './fault-story.ts'
import { WantedFault } from './faulty.ts'

/** A start that fails ends the process, and whoever started it starts it again: without these nothing can be judged. */
const endsTheStart: readonly string[] = ['household', 'resume', 'secret', 'devices', 'isSharedLoginOpen']
/** At the very end, when everything is committed: the process is about to end in any case. */
const endsTheEnd: readonly string[] = ['close']
/** Whoever asks for these gets an error, and neither an empty answer nor a success that was none. */
const isSeen: readonly string[] = [
  'journal',
  'columns',
  'summaries',
  'span',
  'rungAt',
  'saveChannelSecret',
  'forgetChannelSecret',
  'saveRing',
  'people',
  'saveDevice',
  'removeDevice',
  'setSharedLogin',
  'open',
]
/** The alarm is told in the fourth minute. A try that has to be made again waits some seconds, and a start for the next minute. */
const toldBy = 6
/** What was tried in vain before the process ended is not tried at once by the next one. */
const toldAgainBy = 8

/** What became of the story other than it should, in sentences; empty for a story that ended well. */
export function mistakesIn(told: Told, faultless: Told, plan: Plan | null): string[] {
  const method = plan?.trap.method ?? ''
  const isForEver = plan?.trap.mode === 'forEver' && plan.trap.hasHappened()
  // The one exception: what was settled from memory while the store failed may be lost with the process
  const mayLose = isForEver && method === 'commit' && told.hasEndedUnderFault
  return [
    ...readingsLost(told, mayLose),
    ...deathsIn(told, [method, plan?.second?.trap.method ?? '']),
    ...untold(told, plan?.second === undefined ? toldBy : toldAgainBy),
    ...unseen(told, plan),
    ...(method === 'seal' ? [] : unsealed(told)),
    ...(mayLose ? [] : different('How things stand', told.view, faultless.view)),
    ...different('What is kept', told.kept, faultless.kept),
    ...different('Alarms that stand', told.standing, faultless.standing),
    ...(mayLose ? [] : different('Lamps', lampsOf(told), lampsOf(faultless))),
    ...different('What people could not do', told.undone, []),
    ...(mayLose ? [] : different('The journal of the alarm', linesOf(told), linesOf(faultless))),
    ...(isForEver ? [] : different('Messages', messagesOf(told), messagesOf(faultless))),
  ]
}

function readingsLost({ fed, stored }: Told, mayLose: boolean): string[] {
  const keyOf = (one: { sensor: string; at: number; value: number }) => `${one.sensor} ${one.value}`
  const counts = new Map<string, number>()
  for (const one of stored) counts.set(keyOf(one), (counts.get(keyOf(one)) ?? 0) + 1)
  const mistakes = fed.flatMap((one) => {
    const count = counts.get(keyOf(one)) ?? 0
    counts.delete(keyOf(one))
    return [
      ...(count > 1 ? [`reading ${keyOf(one)} is stored ${count} times`] : []),
      ...(count === 0 && !(mayLose && one.underFault) ? [`reading ${keyOf(one)} (${one.came}) is lost`] : []),
      ...(one.came === 'settled' ? [] : [`message ${keyOf(one)} is ${one.came} at the end`]),
    ]
  })
  return [...mistakes, ...[...counts.keys()].map((key) => `reading ${key} came from nowhere`)]
}

function deathsIn({ deaths, refusedOpenings }: Told, methods: readonly string[]): string[] {
  const hasOne = (list: readonly string[]) => methods.some((method) => list.includes(method))
  const wrong = [...(hasOne(endsTheEnd) ? [] : deaths), ...(hasOne(endsTheStart) ? [] : refusedOpenings)]
  return wrong.map((cause) => `the process died: ${String(cause)} ${firstOwnFrame(cause)}`)
}

/** Only a seal that fails may cost a message its link (A6). */
const unsealed = ({ sent }: Told): string[] =>
  sent.flatMap(({ minute, parcel: { alarm, kind, channel, message } }) =>
    alarm === tooCold && message.link?.includes('#') !== true
      ? [`${kind} ${channel} at minute ${minute} has no link that answers`]
      : [],
  )

/** Where in the daemon it was that nobody caught it. */
const firstOwnFrame = (cause: unknown): string =>
  (cause instanceof Error ? (cause.stack ?? '') : '').match(/daemon\/app\/[^)\s]+/)?.[0] ?? ''

function untold({ sent, refusedOpenings }: Told, by: number): string[] {
  const about = sent.filter(({ parcel }) => parcel.alarm === tooCold)
  if (about.length === 0) return ['nobody was told of the alarm']
  const first = about.find(({ parcel }) => parcel.kind === 'raised')
  // Where the daemon could not start for minutes, all is over by the time that it hears of it, and that is told
  if (refusedOpenings.length > 1) return []
  if (first === undefined) return ['nobody was told while it was cold']
  return first.minute > by ? [`people were told at minute ${first.minute} only`] : []
}

function unseen({ errors }: Told, plan: Plan | null): string[] {
  if (plan === null || !plan.trap.hasHappened() || !isSeen.includes(plan.trap.method)) return []
  return errors.some(({ error }) => error instanceof WantedFault) ? [] : ['nobody was shown an error']
}

const lampsOf = ({ lamps }: Told) =>
  [...lamps].map(([topic, payload]) => `${topic} ${payload.replace(/,"at".*/, '')}`).toSorted()

/** Each thing once: a commit whose answer was lost writes its lines again. */
const linesOf = ({ journal }: Told) =>
  [
    ...new Set(journal.flatMap(({ kind, alarm }) => (alarm === tooCold && kind !== 'told' ? [kind] : []))),
  ].toSorted()

/** A stage that fails is an alarm too; whether one call of it is enough for that is not this story's. */
const messagesOf = ({ sent }: Told) =>
  [
    ...new Set(
      sent.flatMap(({ parcel: { alarm, kind, channel } }) =>
        alarm === tooCold || alarm === null ? [`${kind} ${channel}`] : [],
      ),
    ),
  ].toSorted()

function different(what: string, is: unknown, should: unknown): string[] {
  if (isDeepStrictEqual(is, should)) return []
  if (isRecord(is) && isRecord(should))
    return Object.keys(should).flatMap((key) => different(`${what}, ${key}`, is[key], should[key]))
  return [`${what}: ${JSON.stringify(is)} instead of ${JSON.stringify(should)}`]
}

const isRecord = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value)
