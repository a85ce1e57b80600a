import { DiaryLine } from '../../schemas/diary.ts'
import { days, hours, later } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'

type Note = DiaryLine['note']
type About = { readonly animal: string } | { readonly place: string }

/** Who keeps the invented house. */
const keeper = 'Robin'

/**
 * What was noted in the invented house until `now`: weigh-ins of those in hold, one of which loses mass faster than it
 * should; the feeding up of one that is to go down next; and what the crickets were counted at.
 */
export function practiceDiary(now: Instant): readonly DiaryLine[] {
  const day = (ago: number): Instant => later(now, -days(ago))
  let made = 0
  const line = (about: About, at: Instant, note: Note, text?: string): DiaryLine =>
    DiaryLine.parse({
      id: `practice-${++made}`,
      at,
      ...about,
      note,
      ...(text === undefined ? {} : { text }),
      by: keeper,
      notedAt: at,
    })
  const weighed = (animal: string, masses: readonly (readonly [daysAgo: number, grams: number])[]) =>
    masses.map(([ago, grams]) => line({ animal }, day(ago), { kind: 'weighed', grams, scaleStep: 1 }))
  const inHold = [
    weighed('pebble', [
      [60, 702],
      [34, 708],
      [22, 701],
      [15, 700],
      [8, 698],
      [1, 697],
    ]),
    weighed('juno', [
      [60, 845],
      [34, 850],
      [22, 842],
      [15, 840],
      [8, 839],
      [1, 837],
    ]),
    // A dry corner of the box: more than a hundredth a month
    weighed('bramble', [
      [60, 520],
      [34, 524],
      [22, 518],
      [15, 514],
      [8, 510],
      [1, 505],
    ]),
    weighed('sorrel', [
      [22, 61],
      [8, 61.4],
      [1, 61.2],
    ]),
    weighed('mugwort', [
      [22, 48.2],
      [8, 48.9],
      [1, 48.7],
    ]),
    weighed('ribbon', [
      [22, 133],
      [8, 133],
      [1, 132],
    ]),
  ].flat()
  const fennel = { animal: 'fennel' }
  const gettingReady = [
    ...weighed('fennel', [
      [56, 618],
      [42, 627],
      [28, 634],
      [14, 641],
      [3, 646],
    ]),
    line(fennel, day(30), { kind: 'measured', length: 15, width: 11.6, height: 7.9 }),
    line(fennel, day(30), { kind: 'scored', scale: 'visualFive', score: 3 }),
    line(fennel, day(28), { kind: 'vet', clears: true }, 'Seen for the winter; faeces clean.'),
    line(fennel, day(2), { kind: 'fed', food: 'dandelion and plantain', eaten: 'all' }),
    line(fennel, day(1), {
      kind: 'checked',
      answers: {
        speciesSure: 'yes',
        eyesClear: 'yes',
        noseClear: 'yes',
        seenByVet: 'yes',
        faecesTested: 'yes',
      },
    }),
  ]
  const around = [
    line({ place: 'cellar-fridge' }, later(day(3), -hours(2)), { kind: 'aired' }),
    line({ place: 'cellar-fridge' }, later(day(1), -hours(2)), { kind: 'looked' }, 'All still.'),
    line({ animal: 'amber' }, day(9), { kind: 'fed', food: 'one thawed rat', eaten: 'all' }),
    line({ place: 'cricket-tub' }, day(9), { kind: 'counted', amount: 400 }),
    line({ place: 'cricket-tub' }, day(4), { kind: 'taken', amount: 60 }),
  ]
  return [...inHold, ...gettingReady, ...around].toSorted((one, other) => one.at - other.at)
}
