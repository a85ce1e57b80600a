import { calmSorts, type CalmSort } from './calm.ts'
import { leastLead, winterDays } from './definitions.ts'
import { families, type Family } from './families.ts'
import {
  type CalmFigures,
  calmOf,
  type FalseFigures,
  falseOf,
  type FamilyFigures,
  figuresOf,
  firstKinds,
  missesOf,
  poissonBounds,
  quantile,
  sumOf,
} from './figures.ts'
import { type JudgeName, judges, type Outcome } from './outcome.ts'

export const judgeWords: Readonly<Record<JudgeName, string>> = {
  judge: 'Brumal',
  bare: 'bare threshold',
  dwell: 'with dwell',
}

/** The table and what belongs to it, as lines; the same outcomes make the same lines. */
export function reportOn(all: readonly Outcome[]): string[] {
  const present = families.filter((family) => all.some((one) => one.family === family))
  const lines = [
    `${all.length} winters, ${sumOf(all, 'days').toFixed(0)} simulated days (${sumOf(all, 'calmDays').toFixed(0)} without a fault at work), ${sumOf(all, 'readings')} readings heard`,
    '',
    headOf(),
  ]
  const withFault = all.filter(({ fault }) => fault !== null)
  for (const family of present.filter((one) => one !== 'none'))
    for (const by of judges) lines.push(rowOf(figuresOf(family, all, by), by))
  for (const by of judges) lines.push(rowOf(figuresOf('all', withFault, by), by))
  lines.push('', 'False alarms per 150 days (95 % Poisson bounds, counted)')
  for (const by of judges) lines.push(falseRow(falseOf(all, by), by))
  lines.push('', ...calmLines(all, present))
  lines.push('', 'What told first')
  for (const by of judges.slice(0, 1))
    lines.push(
      `  ${judgeWords[by]}: ${firstKinds(all, by)
        .map(([kind, n]) => `${kind} ${n}`)
        .join(', ')}`,
    )
  lines.push('', ...missLines(all))
  return lines
}

const columns = [20, 15, 8, 7, 8, 7, 8, 10, 9, 9] as const

function cells(values: readonly string[]): string {
  return values
    .map((value, i) => (i < 2 ? value.padEnd(columns[i] ?? 0) : value.padStart(columns[i] ?? 0)))
    .join('')
}

const headOf = (): string =>
  cells([
    'family',
    'judge',
    'winters',
    'harm',
    `≥${leastLead / 60_000}min`,
    'told',
    'high',
    'lead 50%',
    'lead 5%',
    'worst',
  ])

function rowOf(figures: FamilyFigures, by: JudgeName): string {
  const isFirst = by === judges[0]
  const share = (n: number): string =>
    figures.counted === 0 ? '–' : `${((100 * n) / figures.counted).toFixed(0)}%`
  const lead = (minutes: number | null): string => (minutes === null ? '–' : leadWords(minutes))
  return cells([
    isFirst ? figures.family : '',
    judgeWords[by],
    isFirst ? String(figures.winters) : '',
    isFirst ? String(figures.harmed) : '',
    isFirst ? String(figures.counted) : '',
    share(figures.told),
    share(figures.toldHigh),
    lead(quantile(figures.leads, 0.5)),
    lead(quantile(figures.leads, 0.05)),
    lead(figures.leads[0] ?? null),
  ])
}

const leadWords = (minutes: number): string =>
  minutes < 100 ? `${minutes.toFixed(0)} min` : `${(minutes / 60).toFixed(1)} h`

function falseRow({ high, any, winters, kinds }: FalseFigures, by: JudgeName): string {
  const [low, up] = poissonBounds(high)
  const each = Object.entries(kinds)
    .sort(([a, one], [b, other]) => other - one || a.localeCompare(b))
    .map(([kind, n]) => `${kind} ${(n / winters).toFixed(2)}`)
  return `  ${judgeWords[by].padEnd(15)} high ${(high / winters).toFixed(2)} (${(low / winters).toFixed(2)} to ${(up / winters).toFixed(2)}), any ${(any / winters).toFixed(2)}${by === 'judge' ? `: ${each.join(', ')}` : ''}`
}

const calmWords: Readonly<Record<CalmSort, string>> = {
  airOut: 'air was out',
  silent: 'truly silent',
  open: 'truly open',
  nearly: 'nearly',
  guarded: 'guarded',
  moved: 'probe outside',
  wrong: 'wrong',
}

/** Brumal's own: what the alarms counted as false were in truth, by place and by family. */
function calmLines(all: readonly Outcome[], present: readonly Family[]): string[] {
  const sorts = [...new Set(all.map(({ sort }) => sort))].sort()
  const rows = [
    calmOf('all', all, 'judge'),
    ...sorts.map((sort) =>
      calmOf(
        sort,
        all.filter((one) => one.sort === sort),
        'judge',
      ),
    ),
    ...present.map((family) =>
      calmOf(
        family,
        all.filter((one) => one.family === family),
        'judge',
      ),
    ),
  ]
  const whole = rows[0]
  return [
    `What these were in truth, per ${winterDays} days: high alarms (alarms of any priority)`,
    `  ${'Brumal'.padEnd(18)}${calmSorts.map((sort) => calmWords[sort].padStart(15)).join('')}`,
    ...rows.map(calmRow),
    ...(whole === undefined ? [] : [wrongLine(whole)]),
  ]
}

function calmRow({ name, winters, sorts }: CalmFigures): string {
  const rate = (n: number): string => (winters > 0 ? (n / winters).toFixed(2) : '–')
  const cell = (sort: CalmSort): string => `${rate(sorts[sort].high)} (${rate(sorts[sort].any)})`
  return `  ${name.padEnd(18)}${calmSorts.map((sort) => cell(sort).padStart(15)).join('')}`
}

function wrongLine({ sorts, winters, wrongKinds }: CalmFigures): string {
  const [low, up] = poissonBounds(sorts.wrong.high).map((n) => (n / winters).toFixed(2))
  const kinds = Object.entries(wrongKinds).sort(([a, one], [b, other]) => other - one || a.localeCompare(b))
  return `  wrong high alarms of all: ${low} to ${up}; wrong by kind: ${kinds.map(([kind, n]) => `${kind} ${n}`).join(', ') || 'none'}`
}

function missLines(all: readonly Outcome[]): string[] {
  const missed = missesOf(all, 'judge')
  const anyway = all.filter(({ twinHarm }) => twinHarm !== null)
  const unseen = all.filter(
    ({ harm, isCounted, twinHarm }) => harm !== null && twinHarm === null && !isCounted,
  )
  return [
    missed.length === 0 ? 'Brumal missed none.' : `Brumal missed ${missed.length}:`,
    ...missed.map(
      ({ seed, family, sort, harm, begins }) =>
        `  --family ${family} --seed ${seed} --winters 1 --explain   (${sort}, ${harm?.side} harm after ${leadWords(((harm?.at ?? 0) - (begins ?? 0)) / 60_000)}; bare threshold ${told(all, seed, family, 'bare')}, with dwell ${told(all, seed, family, 'dwell')})`,
    ),
    `Harm that physics left no time for, or that no sensor could show: ${unseen.length}${unseen.length === 0 ? '' : ` (${unseen.map(({ seed, family }) => `${family} ${seed}`).join(', ')})`}.`,
    `Left out, for the twin without the fault came to harm too: ${anyway.length}${anyway.length === 0 ? '' : ` (${anyway.map(({ seed, family }) => `${family} ${seed}`).join(', ')})`}.`,
  ]
}

function told(all: readonly Outcome[], seed: number, family: Family, by: JudgeName): string {
  const one = all.find((outcome) => outcome.seed === seed && outcome.family === family)
  return one?.verdicts[by].first ? 'told' : 'missed'
}
