/**
 * A strict reader of OpenMetrics 1.0 text, after the specification's ABNF and its rules on names: it throws, with the
 * line, at whatever a right exposer never writes. Exemplars, timestamps, histograms and summaries are not read.
 */
export interface ReadFamily {
  readonly name: string
  readonly type: string
  readonly unit: string | null
  readonly help: string
  readonly samples: readonly ReadSample[]
}

interface ReadSample {
  readonly name: string
  readonly labels: Readonly<Record<string, string>>
  readonly value: number
}

export function readOpenMetrics(text: string): readonly ReadFamily[] {
  // exposition = metricset HASH SP eof [ LF ]
  const lines = text.endsWith('\n') ? text.slice(0, -1).split('\n') : text.split('\n')
  if (lines.pop() !== '# EOF') throw new Error('the text does not end in # EOF')
  const families: Draft[] = []
  const seen = new Set<string>()
  for (const line of lines) {
    const fail = (why: string): never => {
      throw new Error(`${why}: ${line}`)
    }
    const described = /^# (TYPE|UNIT|HELP) ([^ ]+) (.*)$/.exec(line)
    if (described !== null) {
      const [, what = '', name = '', rest = ''] = described
      if (!metricName.test(name)) fail('not a name of a metric')
      let family = families.at(-1)
      if (family?.name !== name) {
        if (seen.has(name)) fail('a family does not stand together')
        seen.add(name)
        family = { name, type: null, unit: null, help: null, samples: [] }
        families.push(family)
      }
      if (family.samples.length > 0) fail('described after its first sample')
      describe(family, what, rest, fail)
      continue
    }
    if (line.startsWith('#')) fail('a comment, which OpenMetrics does not have')
    const sample = readSample(line, fail)
    const family = families.at(-1)
    if (family === undefined) return fail('a sample without a family')
    takeSample(family, sample, fail)
  }
  return families.map(({ name, type, unit, help, samples }) => {
    if (type === null || help === null) throw new Error(`${name} has no type or no help`)
    return { name, type, unit, help, samples }
  })
}

interface Draft {
  readonly name: string
  type: string | null
  unit: string | null
  help: string | null
  readonly samples: ReadSample[]
}

type Fail = (why: string) => never

const metricName = /^[a-zA-Z_:][a-zA-Z0-9_:]*$/
const labelName = /^[a-zA-Z_][a-zA-Z0-9_]*$/
/** What a sample's name has behind its family's, by type. */
const suffixes: Readonly<Record<string, readonly string[]>> = {
  gauge: [''],
  counter: ['_total', '_created'],
  info: ['_info'],
  stateset: [''],
}

function describe(family: Draft, what: string, rest: string, fail: Fail): void {
  if (what === 'TYPE') {
    if (family.type !== null) fail('a second TYPE')
    if (!(rest in suffixes)) fail('a type that is not one')
    if (/_(?:total|created|info)$/.test(family.name)) fail('the name of a family with the suffix of a sample')
    family.type = rest
  } else if (what === 'UNIT') {
    if (family.unit !== null) fail('a second UNIT')
    if (!family.name.endsWith(`_${rest}`)) fail('the unit is not the end of the name')
    if (family.type === 'info' || family.type === 'stateset') fail('an info or a state set has no unit')
    family.unit = rest
  } else {
    if (family.help !== null) fail('a second HELP')
    family.help = unescaped(rest, fail)
  }
}

/** sample = metricname [labels] SP number LF */
function readSample(line: string, fail: Fail): ReadSample {
  const name = /^[^{ ]+/.exec(line)?.[0] ?? ''
  if (!metricName.test(name)) fail('not a name of a metric')
  const labels: Record<string, string> = {}
  let rest = line.slice(name.length)
  if (rest.startsWith('{')) {
    rest = rest.slice(1)
    while (!rest.startsWith('}')) {
      const pair = /^([^=]*)="((?:[^"\\\n]|\\[n"\\])*)"(,(?=[^}])|(?=\}))/.exec(rest)
      if (pair === null) return fail('labels that cannot be read')
      const [all, label = '', value = ''] = pair
      if (!labelName.test(label) || label.startsWith('__')) fail('not a name of a label')
      if (label in labels) fail('a label twice')
      labels[label] = unescaped(value, fail)
      rest = rest.slice(all.length)
    }
    rest = rest.slice(1)
  }
  const number = /^ (.+)$/.exec(rest)?.[1] ?? ''
  return { name, labels, value: readNumber(number, fail) }
}

/** number = realnumber / [SIGN] ("inf" / "infinity") / "nan" */
function readNumber(text: string, fail: Fail): number {
  if (/^[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?$/i.test(text)) return Number(text)
  if (/^[+-]?inf(?:inity)?$/i.test(text)) return text.startsWith('-') ? -Infinity : Infinity
  return /^nan$/i.test(text) ? Number.NaN : fail('not a number')
}

/** escaped-char = normal-char / BS "n" / BS DQUOTE / BS BS; a double quote by itself is none of them. */
function unescaped(text: string, fail: Fail): string {
  if (!/^(?:[^"\\\0]|\\[n"\\])*$/.test(text)) fail('an escape that is none')
  return text.replace(/\\([n"\\])/g, (_, sign: string) => (sign === 'n' ? '\n' : sign))
}

function takeSample(family: Draft, sample: ReadSample, fail: Fail): void {
  const { name, labels, value } = sample
  const ends = suffixes[family.type ?? ''] ?? []
  if (!ends.some((end) => name === family.name + end)) fail('a sample of another family')
  const key = JSON.stringify([name, Object.entries(labels).sort()])
  if (family.samples.some((one) => JSON.stringify([one.name, Object.entries(one.labels).sort()]) === key))
    fail('the same sample twice')
  if (family.type === 'counter' && !(value >= 0)) fail('a counter below zero')
  if (family.type === 'info' && value !== 1) fail('an info that is not 1')
  if (family.type === 'stateset') {
    if (!(family.name in labels)) fail('a state without its name')
    if (value !== 0 && value !== 1) fail('a state that is neither 0 nor 1')
  }
  family.samples.push(sample)
}
