import { hours, minutes } from '../../schemas/amounts.ts'
import { durationWords } from '../telling/words.ts'
import type { Advice, AdviceAsked } from './trial-advice-asked.ts'
import { coolingAdvice } from './trial-advice-cooling.ts'
import { levelAdvice } from './trial-advice-level.ts'
import { longEnough, goodLength } from './trial-times.ts'
import { kelvin } from './trial-verdict.ts'
import { say } from '../words/say.ts'

/** A swing of the air from trough to crest that water would calm, K. A design choice. */
const wideSwing = 2.5
/** Between the shelves of a domestic fridge without a fan a kelvin or so is ordinary (value from memory). */
const wideGradient = 1.5
/** Half an hour is as long as tending may last (A3). */
const slowRecovery = minutes(30)
/** A sensor less sure than this takes much of a band of a few kelvin, ±, K. A design choice. */
const unsure = 0.3
const plugTry = hours(4)

/** What to change, only as far as the figures show it; what matters most first. */
export function trialAdvice(asked: AdviceAsked): Advice[] {
  return [
    ...levelAdvice(asked),
    ...spreadAdvice(asked),
    ...coolingAdvice(asked),
    ...doorAdvice(asked),
    ...sensorAdvice(asked),
    ...plugAdvice(asked),
    ...timeAdvice(asked),
  ]
}

function spreadAdvice({ kind, report }: AdviceAsked): Advice[] {
  const { gradient, sensors, litres } = report
  const out: Advice[] = []
  const nameOf = (id: string | undefined) => sensors.find(({ sensor }) => sensor === id)?.name ?? ''
  if (gradient !== null && gradient.difference > Math.max(wideGradient, gradient.allowed))
    out.push({
      about: 'spread',
      says:
        say('{name} is colder than {name2} by {kelvin}. ', {
          name: nameOf(gradient.coldest),
          name2: nameOf(gradient.warmest),
          kelvin: kelvin(gradient.difference),
        }) +
        (kind === 'fridge' || kind === 'coldRoom'
          ? say('Use the middle shelf, keep boxes off the back wall, and let a small fan run gently.')
          : say('Use the spot between them, or let a small fan mix the air gently.')),
    })
  const swing = Math.max(0, ...sensors.map(({ cycle }) => cycle?.amplitude ?? 0))
  if (swing > wideSwing)
    out.push({
      about: 'water',
      says:
        litres > 0
          ? say(
              'The air swings by {kelvin} in each run, even with {litres} L of water. Put more closed bottles of water inside: they calm it.',
              { kelvin: kelvin(swing), litres },
            )
          : say(
              'The air swings by {kelvin} in each run. Put some closed bottles of water inside: they calm it.',
              { kelvin: kelvin(swing) },
            ),
    })
  return out
}

function doorAdvice({ report }: AdviceAsked): Advice[] {
  const slow = Math.max(0, ...report.sensors.map(({ doors }) => doors.usualRecovery ?? 0))
  if (slow <= slowRecovery) return []
  return [
    {
      about: 'door',
      says: say(
        'After a door it needs {duration} to come nearly back. Open it for seconds only; closed bottles of water keep the cold.',
        { duration: durationWords(slow) },
      ),
    },
  ]
}

function sensorAdvice({ report, judged, given }: AdviceAsked): Advice[] {
  const out: Advice[] = []
  const apart = report.agreement.find(({ agree }) => !agree)
  const nameOf = (id: string | undefined) => report.sensors.find(({ sensor }) => sensor === id)?.name ?? ''
  if (apart !== undefined)
    out.push({
      about: 'sensors',
      says: say(
        '{name} and {name2} differ by {kelvin}; ±{kelvin2} would be right. Lay both in melting ice and correct them, or say that they lie on different shelves by giving each its own box.',
        {
          name: nameOf(apart.one),
          name2: nameOf(apart.other),
          kelvin: kelvin(apart.difference),
          kelvin2: kelvin(apart.allowed),
        },
      ),
    })
  const margins = given.flatMap(({ verdict }) => verdict.marginLow ?? [])
  const loose = judged.find(({ about }) => !about.isChecked && about.expanded > unsure)
  if (loose !== undefined && (margins.length === 0 || Math.min(...margins) < 2 * loose.about.expanded))
    out.push({
      about: 'sensors',
      says: say(
        '{about} was never checked and may be off by ±{kelvin}. Check it in melting ice: the margin to frost grows.',
        { about: loose.about.name, kelvin: kelvin(loose.about.expanded) },
      ),
    })
  if (judged.length === 1)
    out.push({
      about: 'probe',
      says: say(
        'One sensor shows one spot. Put a second on the shelf nearest the back wall, or move this one there for two days.',
      ),
    })
  return out
}

function plugAdvice({ kind, report }: AdviceAsked): Advice[] {
  if ((kind !== 'fridge' && kind !== 'coldRoom') || report.lasted < longEnough) return []
  const tried = report.holdOver
  if (tried === null)
    return [
      {
        about: 'plug',
        says: say(
          'What a power failure does was not tried: while no animal is inside, pull the plug for {duration}.',
          { duration: durationWords(plugTry) },
        ),
      },
    ]
  if (tried.tau !== null || report.plugOutSince !== null) return []
  const says =
    report.room === null
      ? say(
          'A thermometer in the room around it is missing: with it, {duration} without the plug would tell how long the cold lasts.',
          { duration: durationWords(plugTry) },
        )
      : say('The plug was out for {duration}: too short to tell how long the cold lasts. Try {duration2}.', {
          duration: durationWords(tried.lasted),
          duration2: durationWords(Math.max(plugTry, 2 * tried.lasted)),
        })
  return [{ about: 'plug', says }]
}

function timeAdvice({ report }: AdviceAsked): Advice[] {
  if (report.lasted >= goodLength || !report.isRunning) return []
  return [
    { about: 'time', says: say('Let it run for a week: warm days and a weekend show what two days do not.') },
  ]
}
