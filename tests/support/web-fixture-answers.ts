import type { Alarm } from '../../schemas/alarm.ts'
import { hours, later, minutes } from '../../schemas/amounts.ts'
import { AnswerNow } from '../../schemas/telling-now.ts'
import type { Instant } from '../../schemas/units.ts'
import { firstThing } from '../../shared/telling/first-thing.ts'
import { alarmHeadline } from '../../shared/telling/alarm-words.ts'
import { ok, problem, type Reply } from './web-fixture-reply.ts'

/**
 * Links by the key behind their `#`. cold, cold-1, cold-2 …: Robin's, a keeper · sitter: the same alarm, Bela's · taken: Bela was quicker ·
 * over · earlier: raised again since · ring: a test · old. Any other is no link.
 */
const links: readonly string[] = ['cold', 'sitter', 'taken', 'over', 'earlier', 'ring']

/** Answers by link, each link with an alarm of its own. */
export function fixtureAnswers(now: () => Instant) {
  const alarms = new Map<string, Alarm>()
  const tended = new Map<string, Instant>()

  const seenBy = (key: string): AnswerNow | null => {
    const name = key === 'sitter' ? 'Bela' : 'Robin'
    const about = { household: 'Mill Lane', name, animals: [], firstThing: null, tendedUntil: null }
    const may = { canAcknowledge: false, canTend: false, canShelve: false, longestShelving: 0 }
    if (key === 'ring')
      return AnswerNow.parse({
        purpose: 'ring',
        ...about,
        ...may,
        alarm: null,
        headline: 'A test of how you are reached',
        sentence: 'Did this ring aloud, through silence and sleep mode?',
      })
    if (!links.includes(key.replace(/^cold-\d+$/, 'cold'))) return null
    const alarm = alarms.get(key) ?? coldAlarm(key, now())
    alarms.set(key, alarm)
    const isOver = alarm.state.name === 'normal'
    const isEarlier = key === 'earlier'
    return AnswerNow.parse({
      purpose: 'answer',
      ...about,
      alarm,
      headline: alarmHeadline(alarm, { place: () => 'Top box', sensor: (id) => id, contact: (id) => id }),
      sentence: isEarlier ? raisedAgain : sentenceOf(alarm),
      animals: ["Bramble (Hermann's tortoise)"],
      firstThing: isOver ? null : firstThing(alarm, 'box'),
      canAcknowledge: !isEarlier && alarm.state.name === 'unacknowledged',
      canTend: !isOver && !isEarlier,
      tendedUntil: tended.get(key) ?? null,
      canShelve: name === 'Robin' && !isOver && !isEarlier && alarm.state.name !== 'shelved',
      longestShelving: hours(1),
    })
  }

  const act = (key: string, what: string, body: Record<string, unknown>): Reply | null => {
    const alarm = alarms.get(key)
    if (what === 'rang') return key === 'ring' ? null : problem(403, 'badLink', 'This link is no test.')
    if (alarm === undefined) return problem(403, 'badLink', 'This link answers no alarm.')
    if (key === 'earlier') return problem(409, 'earlierOccurrence', raisedAgain)
    const by = key === 'sitter' ? 'Bela' : 'Robin'
    const since = 'since' in alarm.state && alarm.state.since !== null ? alarm.state.since : now()
    const to = (state: Alarm['state']): null => {
      alarms.set(key, { ...alarm, state })
      return null
    }
    if (what === 'acknowledge') {
      if (alarm.state.name !== 'unacknowledged') return null
      return to({ name: 'acknowledged', since, by, acknowledgedAt: now() })
    }
    const until = later(now(), minutes(Number(body['minutes'])))
    if (what === 'tend') {
      tended.set(key, until)
      return null
    }
    if (by !== 'Robin') return problem(403, 'keeperOnly', 'Only a keeper may shelve an alarm.')
    if (until - now() > hours(1)) return problem(422, 'tooLong', 'This alarm may be shelved for at most 1 h.')
    return to({ name: 'shelved', until, by, reason: String(body['reason']), out: true, since })
  }

  /** Answers `POST /api/answer/<what>`. */
  return (what: string, body: Record<string, unknown>): Reply => {
    const key = String(body['token'])
    if (key === 'old')
      return problem(410, 'oldLink', 'This link has had its day. Sign in to see how things stand.')
    const seen = seenBy(key)
    if (seen === null)
      return problem(403, 'badLink', 'This link is not one of ours, or part of it is missing.')
    if (what === '') return ok(seen)
    const refused = act(key, what, body)
    if (refused !== null) return refused
    if (what === 'rang') return ok({ ...seen, sentence: 'Thank you: it is noted that this rings.' })
    return ok(seenBy(key))
  }
}

const raisedAgain = 'It was raised again since this message: answer the newest message, or sign in.'

function coldAlarm(key: string, now: Instant): Alarm {
  const since = later(now, -minutes(26))
  const states: Record<string, Alarm['state']> = {
    taken: { name: 'acknowledged', since, by: 'Bela', acknowledgedAt: later(now, -minutes(4)) },
    over: { name: 'normal' },
  }
  return {
    id: 'limit:top-box:temperature:lowCritical' as Alarm['id'],
    kind: 'limit',
    place: 'top-box' as Alarm['place'],
    sensor: null,
    contact: null,
    quantity: 'temperature',
    limit: 'lowCritical',
    priority: 'high',
    occurrence: 1,
    value: 0.9,
    threshold: 1,
    state: states[key] ?? { name: 'unacknowledged', since },
  }
}

const clock = (at: number): string =>
  new Intl.DateTimeFormat('en-GB', { timeZone: 'Europe/Vienna', hour: '2-digit', minute: '2-digit' }).format(
    at,
  )

function sentenceOf({ state }: Alarm): string {
  if (state.name === 'unacknowledged')
    return `Nobody has answered it yet. It stands since ${clock(state.since)}.`
  if (state.name === 'acknowledged')
    return `${state.by} acknowledged it at ${clock(state.acknowledgedAt)}. It still stands.`
  if (state.name === 'shelved') return `${state.by} shelved it until ${clock(state.until)}: ${state.reason}`
  return 'It is over.'
}
