import { families, type Family } from './families.ts'

export interface Asked {
  readonly seed: number
  readonly family: Family
}

/** Families in turn; the quiet ones thrice, for false alarms are rare and need many days. */
const turns: readonly Family[] = ['none', 'none', ...families]

/** Which winters: seeds from `first` on, each of the family asked for, or of all in turn. */
export function plan(winters: number, first: number, family: Family | null): Asked[] {
  return Array.from({ length: winters }, (_, i) => ({
    seed: first + i,
    family: family ?? turns[i % turns.length] ?? 'none',
  }))
}
