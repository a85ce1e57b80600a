import type { PlaceNow, ThermalNow } from '../../schemas/api.ts'
import { days, hours, instant, later, minutes } from '../../schemas/amounts.ts'
import { JournalEntry } from '../../schemas/journal.ts'
import type { Instant } from '../../schemas/units.ts'
import type { Scene } from './web-fixture-scene.ts'

/** Openings of the fridge's door, newest first: [minutes ago, minutes open, rise in K, minutes until nearly back]. */
const openings = [
  [280, 3, 2.4, 14],
  [1992, 2, 1.6, 9],
  [4890, 6, 4.1, 31],
  [10560, 2, 1.8, 11],
] as const

/** The fridge's door in the journal: the four above; one, longer ago than two weeks; one by a contact, that tells no air. */
export function doorLines(at: Instant) {
  // The fixture's clock runs; the journal does not
  const now = instant(at - (at % minutes(60)))
  const seen = openings.map(([ago, open, rise, back]) => ({
    at: later(now, -minutes(ago)),
    until: later(now, minutes(open - ago)),
    rise,
    recovery: minutes(back),
  }))
  const bare = later(now, -days(11))
  return [
    ...seen,
    { at: bare, until: later(bare, minutes(1)) },
    { at: later(now, -days(15)), until: later(now, -days(15) + minutes(2)), rise: 2, recovery: minutes(12) },
  ].map((line) => JournalEntry.parse({ ...line, kind: 'doorOpened', by: 'brumal', place: 'larder-fridge' }))
}

/** learnt: the fridge · settled: the top box · learning, no door opened yet: the cellar. */
export function sceneThermal(scene: Scene, place: string, now: Instant): Pick<PlaceNow, 'thermal'> {
  const thermal = thermals(scene, now)[place]
  return thermal === undefined ? {} : { thermal }
}

const thermals = (scene: Scene, now: Instant): Readonly<Record<string, ThermalNow>> => ({
  'larder-fridge': {
    cycle: { isLearnt: true, seen: 212, period: minutes(38), duty: 0.34, amplitude: 1.4, mean: 5.1 },
    door: { standing: 'shut', since: null, lastOpenedAt: doorLines(now)[0]?.at ?? null },
  },
  'top-box': {
    animal: { celsius: scene === 'alarm' || scene === 'sitter' ? 1.3 : 4.8, isSettled: true },
    ...(scene === 'alarm' && {
      outlook: {
        limit: 'lowCritical' as const,
        celsius: 0,
        soonest: later(now, minutes(12)),
        likely: later(now, minutes(33)),
        latest: later(now, hours(2)),
      },
    }),
  },
  cellar: {
    cycle: { isLearnt: false, seen: 3, period: null, duty: null, amplitude: null, mean: null },
    door: { standing: 'shut', since: null, lastOpenedAt: null },
    animal: { celsius: 5.4, isSettled: false },
  },
})
