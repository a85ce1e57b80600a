import { hours } from '../../schemas/amounts.ts'
import type { Advice, AdviceAsked } from './trial-advice-asked.ts'
import { kelvin, temperature } from './trial-verdict.ts'
import { say } from '../words/say.ts'

/** From day to night, K. A design choice. */
const wideDay = 1
/** A compressor that runs for less of the time has hardly anything to cool; for more, hardly anything to spare. */
const [idle, busy] = [0.08, 0.75]

/** How hard the compressor works, and how far the place follows its room. */
export function coolingAdvice({ kind, report, judged, given }: AdviceAsked): Advice[] {
  const out: Advice[] = []
  const { sensors, room } = report
  const cold = kind === 'fridge' || kind === 'coldRoom'
  const lows = given.flatMap(({ limits }) => limits.filter(({ limit }) => limit === 'low'))
  const low = Math.max(...lows.map(({ value }) => value))
  if (cold && room !== null && Number.isFinite(low) && room.min < low)
    out.push({
      about: 'room',
      says: say(
        'The room came down to {temperature}. A fridge cannot warm itself: below {temperature2} it follows the room. Put it in a warmer room before the frost.',
        { temperature: temperature(room.min), temperature2: temperature(low) },
      ),
    })
  const cycle = sensors.find((one) => one.cycle !== null)?.cycle ?? null
  const air = sensors.filter(({ isAir, figures }) => isAir && figures !== null)
  if (cold && cycle !== null && cycle.duty > busy)
    out.push({
      about: 'cooling',
      says: say(
        'It cools for {round} % of the time: nothing is left for a warm day. Look at the door seal and the space behind it, and take a cooler room.',
        { round: Math.round(cycle.duty * 100) },
      ),
    })
  if (cold && cycle !== null && cycle.duty < idle)
    out.push({
      about: 'room',
      says: say(
        'It cools for only {round} % of the time: the room is nearly as cold as it should be inside.',
        { round: Math.round(cycle.duty * 100) },
      ),
    })
  if (kind === 'fridge' && cycle === null && air.length > 0 && report.counted >= hours(24))
    out.push({
      about: 'cooling',
      says: say(
        'No compressor was seen to start and stop. Either it never stops, or the room does the cooling, or water and a slow probe hide it: listen to it.',
      ),
    })
  const swings = judged.map(({ about: { figures } }) =>
    figures.day === null || figures.night === null ? 0 : figures.day - figures.night,
  )
  const swing = swings.toSorted((one, other) => Math.abs(other) - Math.abs(one))[0] ?? 0
  if (Math.abs(swing) > wideDay)
    out.push({
      about: 'room',
      says:
        swing > 0
          ? say(
              'By day it is warmer than by night by {kelvin}: it follows the room. A steadier room, or more insulation and water, helps.',
              { kelvin: kelvin(swing) },
            )
          : say(
              'By day it is colder than by night by {kelvin}: it follows the room. A steadier room, or more insulation and water, helps.',
              { kelvin: kelvin(swing) },
            ),
    })
  return out
}
