import { describe, expect, test } from 'vitest'
import { hours, instant, later, minutes } from '../../schemas/amounts.ts'
import type { Trial } from '../../schemas/trial.ts'
import type { TrialAct } from '../../schemas/trial-report.ts'
import {
  absences,
  alarmsInJournal,
  chosenStretches,
  longestStretch,
  mostStretches,
  type OutlookLine,
  type PassiveStretch,
  plugsInJournal,
  plugsOfTrial,
} from '../../shared/thermal/outlook-stretch.ts'
import { actOnTrial } from '../../shared/thermal/trial-acts.ts'

const start = instant(1_800_000_000_000)
const at = (h: number) => later(start, hours(h))
const aStretch = (from: number, to: number, by: PassiveStretch['by'] = 'plugOut'): PassiveStretch => ({
  from: at(from),
  to: at(to),
  by,
  litres: null,
})

describe('times in which nothing cooled', () => {
  test('what the acts of a trial run write into the journal is read back, litres and all', () => {
    const lines: OutlookLine[] = []
    let trial: Trial | undefined
    const does = (act: TrialAct, h: number): void => {
      const place = { name: 'Larder fridge', trial, animalsDown: [], hasSensor: true }
      const moved = actOnTrial(place, act, at(h), 'Ada')
      if (!moved.ok) throw new Error(moved.sentence)
      trial = moved.value ?? undefined
      lines.push({ at: at(h), kind: 'changed', text: moved.says })
    }
    does({ act: 'begin', litres: 0 }, 0)
    does({ act: 'plugOut' }, 5)
    does({ act: 'plugIn' }, 11)
    does({ act: 'end' }, 24)
    does({ act: 'begin', litres: 6.5 }, 30)
    does({ act: 'plugOut' }, 40)
    does({ act: 'end' }, 47)
    expect(plugsInJournal(lines)).toEqual([
      { from: at(5), to: at(11), by: 'plugOut', litres: 0 },
      { from: at(40), to: at(47), by: 'plugOut', litres: 6.5 },
    ])
    // The newest is also kept with its place, and counts once.
    const all = [...plugsInJournal(lines), ...plugsOfTrial(trial, at(50))]
    expect(chosenStretches(all, start, at(50))).toHaveLength(2)
  })

  test('a plug that is out still counts until now', () => {
    const trial: Trial = {
      from: start,
      until: null,
      by: 'Ada',
      litres: 3,
      plugOut: [{ from: at(1), until: null }],
    }
    expect(plugsOfTrial(trial, at(4))).toEqual([{ from: at(1), to: at(4), by: 'plugOut', litres: 3 }])
    expect(plugsOfTrial(undefined, at(4))).toEqual([])
  })

  test('an alarm that it does not cool, raised twice before it came back, is one time; other alarms are none', () => {
    const line = (
      h: number,
      kind: 'raised' | 'returned',
      alarmKind: OutlookLine['alarmKind'] = 'notCooling',
    ) => ({ at: at(h), kind, alarmKind }) as const
    const lines = [
      line(0, 'returned'),
      line(1, 'raised'),
      line(2, 'raised'),
      line(4, 'returned'),
      line(5, 'raised', 'limit'),
      line(6, 'raised'),
    ]
    expect(alarmsInJournal(lines, at(9)).map(({ from, to }) => [from, to])).toEqual([
      [at(1), at(4)],
      [at(6), at(9)],
    ])
  })

  test('a power sensor’s absence ends with its presence, or with its last word before it fell silent', () => {
    const said = [
      [0, 1],
      [1, 0],
      [1.5, 0],
      [2, 1],
      [3, 0],
      [3.4, 0],
      [9, 1],
    ].map(([h = 0, value = 0]) => ({ at: at(h), value }))
    expect(absences(said, minutes(65)).map(({ from, to }) => [from, to])).toEqual([
      [at(1), at(2)],
      [at(3), at(3.4)],
    ])
  })

  test('an hour is long enough, less is not; two days are read at most', () => {
    const short = { ...aStretch(1, 2), to: later(at(2), -1) }
    expect(chosenStretches([short], start, at(99))).toEqual([])
    expect(chosenStretches([aStretch(1, 2)], start, at(99))).toHaveLength(1)
    expect(chosenStretches([aStretch(1, 80)], start, at(99))[0]?.to).toBe(later(at(1), longestStretch))
  })

  test('what the keeper said goes before what a sensor said, and that before an alarm', () => {
    const all = [aStretch(1.5, 6, 'notCooling'), aStretch(1, 5, 'powerAbsent'), aStretch(0.9, 4.9)]
    expect(chosenStretches(all, start, at(9)).map(({ by }) => by)).toEqual(['plugOut'])
    expect(chosenStretches(all.slice(0, 2), start, at(9)).map(({ by }) => by)).toEqual(['powerAbsent'])
  })

  test('X3: the newest dozen, newest first, none that began too long ago', () => {
    const many = Array.from({ length: 30 }, (_, i) => aStretch(3 * i, 3 * i + 2))
    const chosen = chosenStretches(many, at(1), at(99))
    expect(chosen).toHaveLength(mostStretches)
    expect(chosen[0]?.from).toBe(at(87))
    expect(chosenStretches([aStretch(0, 2)], at(1), at(99))).toEqual([])
  })
})
