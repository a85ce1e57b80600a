import type { Calibration, CalibratedQuantity } from '../../schemas/calibration.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import { days } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { calibrationAt, correctionUncertainty } from './calibration.ts'
import { coverageFactor } from './coverage.ts'
import { dataSheets } from './data-sheet.ts'
import { say } from '../words/say.ts'

export type BudgetWhat =
  | 'dataSheet'
  | 'calibration'
  | 'resolution'
  | 'repeatability'
  | 'drift'
  | 'placement'
  | 'bath'

/** One reason why a reading may be off; `u` is its standard uncertainty (k = 1), in the quantity's unit. */
export type BudgetLine = {
  readonly what: BudgetWhat
  readonly u: number
  /** One short sentence for the screen, with where the figure comes from. */
  readonly says: string
} & (
  | { readonly distribution: 'rectangular'; readonly halfWidth: number }
  | { readonly distribution: 'normal'; readonly standard: number }
)

/** The lines, the combined standard uncertainty and the expanded one. */
export interface Budget {
  readonly lines: readonly BudgetLine[]
  readonly u: number
  /** U = k · u, ±, with the coverage factor k. */
  readonly expanded: number
}

/** What a budget needs of a sensor. */
export type Unsure = Pick<Sensor, 'type' | 'accuracy' | 'placement'> & {
  readonly calibrations: readonly Calibration[]
}

/**
 * How much farther off a calibrated sensor may be for each year since it was checked, ±, in the quantity's unit. Common
 * practice, no source: data sheets promise less, but for an element in clean, dry air.
 */
const driftPerYear: Readonly<Record<CalibratedQuantity, number>> = { temperature: 0.1, humidity: 1 }

const year = days(365)

/**
 * How sure a reading is (JCGM 100:2008, GUM): the parts add as squares. Without a calibration in force the data sheet
 * counts; with one, in its place, the calibration and the drift since, which grows evenly with its age and never beyond
 * what the data sheet allows. A placement counts for temperatures where the keeper has given one.
 */
export function budgetOf(
  sensor: Unsure,
  quantity: CalibratedQuantity,
  reading: {
    readonly at: Instant
    readonly raw: number
    /** Standard deviation of single readings in a steady place, raw, where it is known. */
    readonly repeatability?: number | undefined
  },
): Budget {
  const sheet = sheetOf(sensor, quantity)
  const calibration = calibrationAt(sensor.calibrations, quantity, reading.at)
  const gain = calibration?.gain ?? 1
  const lines: BudgetLine[] =
    calibration === null ? [sheetLine(sheet)] : checkedLines(calibration, sheet, reading)
  // What is raw enters the value multiplied by the gain: its sensitivity coefficient (GUM 5.1.3).
  lines.push(resolutionLine(sheet.resolution, gain))
  if (reading.repeatability !== undefined) lines.push(repeatabilityLine(gain * reading.repeatability))
  if (quantity === 'temperature' && sensor.placement !== undefined) {
    lines.push(
      rectangular(
        'placement',
        sensor.placement,
        say('The spot may be this far from where the animal lies: your figure.'),
      ),
    )
  }
  return sumOf(lines)
}

/** The lines' combined standard uncertainty, √Σu² for parts that know nothing of each other (GUM 5.1.2). */
export function sumOf(lines: readonly BudgetLine[]): Budget {
  const u = Math.hypot(...lines.map((line) => line.u))
  return { lines, u, expanded: coverageFactor * u }
}

/** Anything within ± the half-width is as likely: u = a / √3 (GUM 4.3.7). */
export function rectangular(what: BudgetWhat, halfWidth: number, says: string): BudgetLine {
  return { what, distribution: 'rectangular', halfWidth, u: halfWidth / Math.sqrt(3), says }
}

/** What a display hides: half a step either way, so u = δ / √12 (GUM F.2.2.1). */
export function resolutionLine(step: number, gain = 1): BudgetLine {
  return rectangular(
    'resolution',
    (gain * step) / 2,
    say('It shows steps of {amount}, so half a step either way.', { amount: amount(step) }),
  )
}

/** A scatter that was seen. */
export function repeatabilityLine(standard: number): BudgetLine {
  return normal('repeatability', standard, say('Readings in one steady place scatter this much: seen.'))
}

interface Sheet {
  readonly halfWidth: number
  readonly resolution: number
  readonly source: string
}

function sheetOf(sensor: Pick<Sensor, 'type' | 'accuracy'>, quantity: CalibratedQuantity): Sheet {
  const sheet = dataSheets[quantity][sensor.type]
  if (quantity !== 'temperature' || sensor.accuracy === undefined) return sheet
  return { ...sheet, halfWidth: sensor.accuracy, source: say('your figure') }
}

const sheetLine = ({ halfWidth, source }: Sheet): BudgetLine =>
  rectangular('dataSheet', halfWidth, say("Never checked, so its maker's ± counts: {source}.", { source }))

function checkedLines(
  calibration: Calibration,
  sheet: Sheet,
  { at, raw }: { readonly at: Instant; readonly raw: number },
): BudgetLine[] {
  const { quantity, from, references } = calibration
  const years = Math.max(0, at - from) / year
  const drift = Math.min(driftPerYear[quantity] * years, sheet.halfWidth)
  const says =
    references.length === 2
      ? say('Checked at two points; surest between them.')
      : say('Checked at one point; far from it the sensor may be off by more.')
  return [
    normal('calibration', correctionUncertainty(calibration, raw), says),
    rectangular(
      'drift',
      drift,
      say('It may have drifted since it was checked, ±{part} a year: common practice, no source.', {
        part: driftPerYear[quantity],
      }),
    ),
  ]
}

const normal = (what: BudgetWhat, standard: number, says: string): BudgetLine => ({
  what,
  distribution: 'normal',
  standard,
  u: standard,
  says,
})

const amount = (value: number): string => String(Number(value.toPrecision(2)))
