import type { Alarm } from '../../schemas/alarm.ts'
import type { PlaceNow, Tonight } from '../../schemas/api.ts'
import { isConditionOut } from '../judging/alarm.ts'
import { isAboutAnimals } from '../judging/policy.ts'
import { alarmHeadline, type Names } from './alarm-words.ts'

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
        : ` And ${numberWord(out.length - 1)} more ${out.length === 2 ? 'alarm' : 'alarms'}.`
    return { standing: 'out', sentence: `No: ${alarmHeadline(worst, names)}.${more}` }
  }
  const doubtful = (['unsure', 'leaving'] as const).flatMap((standing) => {
    const some = watched.filter((place) => place.standing === standing)
    return some[0] === undefined ? [] : [{ standing, first: some[0], count: some.length }]
  })
  const [doubt] = doubtful
  if (doubt !== undefined) {
    const { standing, first, count } = doubt
    const why = lowerFirst(first.remarks[0] ?? 'no fresh value').replace(/\.$/, '')
    const rest = count === 1 ? '' : ` The same goes for ${numberWord(count - 1)} more.`
    const opening = standing === 'unsure' ? 'Not sure about' : 'Not yet an alarm in'
    return { standing, sentence: `${opening} ${first.name}: ${why}.${rest}` }
  }
  if (watched.length === 0) return { standing: 'empty', sentence: 'Nobody to watch over yet.' }
  const animals = places.reduce((sum, place) => sum + place.animals.length, 0)
  if (animals === 0)
    return { standing: 'safe', sentence: 'All is inside its limits; no animals are entered yet.' }
  if (animals === 1)
    return {
      standing: 'safe',
      sentence: `Yes: ${places.flatMap((place) => place.animals)[0]?.name} is safe tonight.`,
    }
  return { standing: 'safe', sentence: `Yes: all ${numberWord(animals)} animals are safe tonight.` }
}

const urgency = { high: 0, medium: 1, low: 2 } as const

function byUrgency(one: Alarm, other: Alarm): number {
  return urgency[one.priority] - urgency[other.priority]
}

const small = [
  'no',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
]
const numberWord = (n: number): string => small[n] ?? String(n)
const lowerFirst = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1)
