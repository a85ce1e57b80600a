import { instant } from '../../schemas/amounts.ts'
import type { Cycle, CycleState } from '../thermal/cycle.ts'
import type { EarlyState } from '../thermal/early.ts'
import type { Usual } from '../thermal/running-median.ts'
import type { CycleBaseline, CycleLearning, HalfDay } from '../thermal/usual-cycle.ts'
import type { ThermalWatch } from './thermal-state.ts'

/**
 * What a curve remembers, as the snapshot keeps it: columns instead of names, and instants since the last one, for it is
 * the most of a snapshot, which is written to a memory card with each alarm. Nothing is lost.
 */
export interface PackedThermal extends Omit<ThermalWatch, 'cycle' | 'early'> {
  readonly cycle: readonly [state: PackedCycle, learning: PackedLearning, driftAt: number] | null
  readonly early:
    | (Omit<NonNullable<ThermalWatch['early']>, 'state'> & {
        readonly lag: EarlyState['lag']
        /** For each point the time since the newest reading, and its value. */
        readonly recent: readonly number[]
      })
    | null
}

type PackedCycle = readonly [
  leg: CycleState['leg'],
  smooth: CycleState['smooth'],
  points: readonly (readonly [at: number, celsius: number] | null)[],
  figures: readonly number[],
]

type PackedLearning = readonly [
  count: number,
  at: number,
  first: readonly (readonly number[])[],
  usual: readonly number[] | null,
  past: readonly (readonly number[])[],
  running: readonly number[] | null,
  longest: readonly [warm: number, cold: number],
]

export function packThermal({ cycle, early, ...rest }: ThermalWatch): PackedThermal {
  return {
    ...rest,
    cycle: cycle && [packCycle(cycle.state), packLearning(cycle.learning), cycle.driftAt],
    early: early && {
      tau: early.tau,
      ahead: early.ahead,
      lag: early.state.lag,
      recent: early.state.recent.flatMap(([at, celsius]) => [early.state.lag.at - at, celsius]),
    },
  }
}

export function unpackThermal({ cycle, early, ...rest }: PackedThermal): ThermalWatch {
  return {
    ...rest,
    cycle: cycle && {
      state: unpackCycle(cycle[0]),
      learning: unpackLearning(cycle[1]),
      driftAt: instant(cycle[2]),
    },
    early: early && {
      tau: early.tau,
      state: {
        lag: early.lag,
        recent: rowsOf(early.recent, 2).map(
          ([ago, celsius]) => [instant(early.lag.at - (ago as number)), celsius as number] as const,
        ),
      },
      ahead: early.ahead,
    },
  }
}

const packCycle = (state: CycleState): PackedCycle => [
  state.leg,
  state.smooth,
  [state.waiting, state.accepted, state.crest, state.trough].map((one) => one && [one.at, one.celsius]),
  [state.noise, state.swing, state.area, state.areaAtExtreme],
]

function unpackCycle([leg, smooth, points, figures]: PackedCycle): CycleState {
  const [waiting = null, accepted = null, crest = null, trough = null] = points.map(
    (one) => one && { at: instant(one[0]), celsius: one[1] },
  )
  const [noise = 0, swing = 0, area = 0, areaAtExtreme = 0] = figures
  return { waiting, accepted, smooth, noise, swing, leg, crest, trough, area, areaAtExtreme }
}

const usualNames = ['period', 'duty', 'amplitude', 'mean', 'crest', 'trough'] as const

const packLearning = ({ count, at, first, usual, past, running, longest }: CycleLearning): PackedLearning => [
  count,
  at,
  first.map((one) => [
    at - one.from,
    at - one.to,
    one.period,
    one.duty,
    one.crest,
    one.trough,
    one.amplitude,
    one.mean,
  ]),
  usual && usualNames.flatMap((name) => [usual[name].middle, usual[name].spread]),
  past.map((half) => packHalf(half, at)),
  running && packHalf(running, at),
  [longest.warm, longest.cold],
]

function unpackLearning([count, at, first, usual, past, running, longest]: PackedLearning): CycleLearning {
  return {
    count,
    at: instant(at),
    first: first.map(
      ([from = 0, to = 0, period = 0, duty = 0, crest = 0, trough = 0, amplitude = 0, mean = 0]) =>
        ({ from: at - from, to: at - to, period, duty, crest, trough, amplitude, mean }) as Cycle,
    ),
    usual: usual && unpackUsual(usual),
    past: past.map((half) => unpackHalf(half, at)),
    running: running && unpackHalf(running, at),
    longest: { warm: longest[0], cold: longest[1] },
  }
}

function unpackUsual(figures: readonly number[]): CycleBaseline {
  const rows = rowsOf(figures, 2).map(([middle = 0, spread = 0]): Usual => ({ middle, spread }))
  return Object.fromEntries(usualNames.map((name, i) => [name, rows[i]])) as unknown as CycleBaseline
}

const packHalf = ({ at, cycles, mean, amplitude }: HalfDay, last: number): readonly number[] => [
  last - at,
  cycles,
  mean,
  amplitude,
]

const unpackHalf = (
  [ago = 0, cycles = 0, mean = 0, amplitude = 0]: readonly number[],
  last: number,
): HalfDay => ({
  at: instant(last - ago),
  cycles,
  mean,
  amplitude,
})

const rowsOf = (flat: readonly number[], width: number): readonly (readonly number[])[] =>
  Array.from({ length: flat.length / width }, (_, i) => flat.slice(i * width, (i + 1) * width))
