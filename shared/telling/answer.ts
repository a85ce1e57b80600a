import type { Alarm } from '../../schemas/alarm.ts'
import type { PlaceNow, Tonight } from '../../schemas/api.ts'
import { isConditionOut } from '../judging/alarm.ts'
import { isAboutAnimals } from '../judging/policy.ts'
import { alarmHeadline, type Names } from './alarm-words.ts'
import { say, sayCount, spokenLanguage } from '../words/say.ts'

type Answer = Pick<Tonight, 'standing' | 'sentence'>

/** "Is everyone safe tonight?" in one sentence. Never says safe about a place that nobody could judge. */
export function answer(places: readonly PlaceNow[], alarms: readonly Alarm[], names: Names): Answer {
  const watched = places.filter((place) => place.standing !== 'idle')
  const out = alarms.filter((alarm) => isConditionOut(alarm.state) && isAboutAnimals(alarm)).sort(byUrgency)
  const [worst] = out
  if (worst !== undefined) {
    const more =
      out.length === 1
        ? ''
        : sayCount(out.length - 1, ' And one more alarm.', ' And {n} more alarms.', {
            n: numberWord(out.length - 1),
          })
    return {
      standing: 'out',
      sentence: say('No: {alarmHeadline}.{more}', { alarmHeadline: alarmHeadline(worst, names), more }),
    }
  }
  const doubtful = (['unsure', 'leaving'] as const).flatMap((standing) => {
    const some = watched.filter((place) => place.standing === standing)
    return some[0] === undefined ? [] : [{ standing, first: some[0], count: some.length }]
  })
  const [doubt] = doubtful
  if (doubt !== undefined) {
    const { standing, first, count } = doubt
    const why = withinSentence(first.remarks[0] ?? say('no fresh value')).replace(/\.$/, '')
    const rest =
      count === 1
        ? ''
        : sayCount(count - 1, ' The same goes for one more.', ' The same goes for {n} more.', {
            n: numberWord(count - 1),
          })
    const { name } = first
    const sentence =
      standing === 'unsure'
        ? say('Not sure about {name}: {why}.{rest}', { name, why, rest })
        : say('Not yet an alarm in {name}: {why}.{rest}', { name, why, rest })
    return { standing, sentence }
  }
  if (watched.length === 0) return { standing: 'empty', sentence: say('Nobody to watch over yet.') }
  const animals = places.reduce((sum, place) => sum + place.animals.length, 0)
  if (animals === 0)
    return { standing: 'safe', sentence: say('All is inside its limits; no animals are entered yet.') }
  if (animals === 1)
    return {
      standing: 'safe',
      sentence: say('Yes: {name} is safe tonight.', {
        name: places.flatMap((place) => place.animals)[0]?.name,
      }),
    }
  return {
    standing: 'safe',
    sentence: say('Yes: all {numberWord} animals are safe tonight.', { numberWord: numberWord(animals) }),
  }
}

const urgency = { high: 0, medium: 1, low: 2 } as const

function byUrgency(one: Alarm, other: Alarm): number {
  return urgency[one.priority] - urgency[other.priority]
}

const small = [
  say('no'),
  say('one'),
  say('two'),
  say('three'),
  say('four'),
  say('five'),
  say('six'),
  say('seven'),
  say('eight'),
  say('nine'),
  say('ten'),
  say('eleven'),
  say('twelve'),
]
const numberWord = (n: number): string => small[n] ?? String(n)

/** After a colon English begins small; German keeps the capital of a sentence, and of a noun in any case. */
const withinSentence = (text: string): string =>
  spokenLanguage() === 'en' ? text.charAt(0).toLowerCase() + text.slice(1) : text
