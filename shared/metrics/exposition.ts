import type { Family, Sample } from './family.ts'

/** How the answer is written: OpenMetrics 1.0, or the older Prometheus text format 0.0.4. */
export type Exposition = 'openMetrics' | 'prometheusText'

/** Families without samples are left out. Every family stands together, and nothing carries a time of its own. */
export function exposed(families: readonly Family[], exposition: Exposition): string {
  const isOpen = exposition === 'openMetrics'
  const lines = families.filter(({ samples }) => samples.length > 0).flatMap(isOpen ? openLines : textLines)
  return `${[...lines, ...(isOpen ? ['# EOF'] : [])].join('\n')}\n`
}

/** OpenMetrics 1.0: TYPE, UNIT, HELP in that order; counters end in `_total`, infos in `_info`. */
function openLines(family: Family): readonly string[] {
  const { name, type, unit, help, samples } = family
  return [
    `# TYPE ${name} ${type}`,
    ...(unit === undefined ? [] : [`# UNIT ${name} ${unit}`]),
    `# HELP ${name} ${escaped(help)}`,
    ...samples.map((sample) => lineOf(name + suffix[type], sample)),
  ]
}

/** Text format 0.0.4: it knows neither units nor infos nor state sets, and a counter's name is that of its samples. */
function textLines(family: Family): readonly string[] {
  const { type, help, samples } = family
  const name = family.name + suffix[type]
  return [
    `# HELP ${name} ${help.replaceAll('\\', '\\\\').replaceAll('\n', '\\n')}`,
    `# TYPE ${name} ${type === 'counter' ? 'counter' : 'gauge'}`,
    ...samples.map((sample) => lineOf(name, sample)),
  ]
}

const suffix = { gauge: '', counter: '_total', info: '_info', stateset: '' } as const

function lineOf(name: string, { labels, value }: Sample): string {
  const pairs = Object.entries(labels).map(([label, text]) => `${label}="${escaped(text)}"`)
  return `${name}${pairs.length === 0 ? '' : `{${pairs.join(',')}}`} ${numberText(value)}`
}

/** OpenMetrics 1.0, ABNF `escaped-string`; the older format's label values are escaped the same. */
function escaped(text: string): string {
  return text
    .replaceAll('\0', '') // strings hold no NULL
    .replaceAll('\\', '\\\\')
    .replaceAll('\n', '\\n')
    .replaceAll('"', '\\"')
}

function numberText(value: number): string {
  if (Number.isNaN(value)) return 'NaN'
  if (!Number.isFinite(value)) return value > 0 ? '+Inf' : '-Inf'
  return String(value)
}
