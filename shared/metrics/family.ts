/** One value with what tells it from the others of its family. */
export interface Sample {
  readonly labels: Readonly<Record<string, string>>
  readonly value: number
}

/**
 * Samples of one name (OpenMetrics 1.0, MetricFamily). `name` ends in `unit` where there is one, and never in `_total`
 * or `_info`: the writer adds those. An `info` carries its labels alone.
 */
export interface Family {
  readonly name: string
  readonly type: 'gauge' | 'counter' | 'info' | 'stateset'
  readonly unit?: 'celsius' | 'ratio' | 'seconds' | 'bytes' | 'volts'
  /** One plain sentence. */
  readonly help: string
  readonly samples: readonly Sample[]
}

type Unit = NonNullable<Family['unit']>

/** A family without labels, of one value; null: nothing is known, and nothing is said. */
export const single = (
  type: 'gauge' | 'counter',
  name: string,
  help: string,
  value: number | null,
): Family => ({ name, type, help, samples: value === null ? [] : [{ labels: {}, value }] })

/** The same in a unit. */
export const measured = (name: string, unit: Unit, help: string, value: number | null): Family => ({
  ...single('gauge', `${name}_${unit}`, help, value),
  unit,
})

export const truth = (is: boolean): number => (is ? 1 : 0)
