/**
 * `npm run trials`: winters run through the real judge against the truth at the animal, beside two plain thresholds.
 * `-- --winters 1000 --seed 1 --family door-ajar --out winters.jsonl --quick --explain`
 */
import { fork } from 'node:child_process'
import { writeFileSync } from 'node:fs'
import { availableParallelism } from 'node:os'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'
import { definitionText, fullLengths, quickLengths } from './definitions.ts'
import { explaining } from './explain.ts'
import { families, type Family, isFamily } from './families.ts'
import type { Outcome } from './outcome.ts'
import { type Asked, plan } from './plan.ts'
import { reportOn } from './report.ts'
import { runWinter } from './winter.ts'

const { values } = parseArgs({
  options: {
    winters: { type: 'string' },
    seed: { type: 'string', default: '1' },
    family: { type: 'string' },
    out: { type: 'string' },
    jobs: { type: 'string' },
    quick: { type: 'boolean', default: false },
    explain: { type: 'boolean', default: false },
    help: { type: 'boolean', default: false },
    /** Within: the winters of one process. */
    part: { type: 'string' },
  },
})

const lengths = values.quick ? quickLengths : fullLengths

if (values.help)
  console.log(
    `npm run trials -- [--winters 1000] [--seed 1] [--family F] [--out file] [--jobs N] [--quick] [--explain]\nfamilies: ${families.join(', ')}`,
  )
else if (values.part !== undefined) for (const one of part(values.part)) process.send?.(one)
else await all()

function* part(given: string): Generator<Outcome> {
  for (const { seed, family } of JSON.parse(given) as Asked[]) yield runWinter(seed, family, lengths)
}

async function all(): Promise<void> {
  const began = performance.now()
  const family = familyAsked(values.family)
  const asked = plan(
    numberOf(values.winters ?? (values.quick ? '60' : '1000')),
    numberOf(values.seed),
    family,
  )
  if (values.explain) {
    for (const { seed, family } of asked) runWinter(seed, family, lengths, explaining(console.log))
    return
  }
  console.log(`${definitionText(lengths)}\n`)
  const jobs = Math.max(1, Math.min(asked.length, numberOf(values.jobs ?? String(availableParallelism()))))
  const outcomes = (
    await Promise.all(Array.from({ length: jobs }, (_, j) => run(asked.filter((_, i) => i % jobs === j))))
  ).flat()
  const order = new Map(asked.map(({ seed, family }, i) => [`${family} ${seed}`, i]))
  const at = ({ family, seed }: Outcome): number => order.get(`${family} ${seed}`) ?? 0
  outcomes.sort((one, other) => at(one) - at(other))
  if (values.out !== undefined)
    writeFileSync(values.out, outcomes.map((one) => `${JSON.stringify(one)}\n`).join(''))
  for (const line of reportOn(outcomes)) console.log(line)
  console.log(`\n${((performance.now() - began) / 1000).toFixed(0)} s in ${jobs} processes`)
}

function run(asked: readonly Asked[]): Promise<Outcome[]> {
  return new Promise((resolve, reject) => {
    const child = fork(
      fileURLToPath(import.meta.url),
      ['--part', JSON.stringify(asked), ...(values.quick ? ['--quick'] : [])],
      {
        execArgv: ['--import', 'tsx'],
      },
    )
    const heard: Outcome[] = []
    child.on('message', (one) => heard.push(one as Outcome))
    child.on('error', reject)
    child.on('exit', (code) => {
      if (code === 0 && heard.length === asked.length) resolve(heard)
      else reject(new Error(`A process of ${asked.length} winters ended with ${code} after ${heard.length}.`))
    })
  })
}

function familyAsked(name: string | undefined): Family | null {
  if (name === undefined) return null
  if (!isFamily(name)) throw new Error(`There is no family ${name}; there are ${families.join(', ')}.`)
  return name
}

function numberOf(text: string): number {
  const n = Number(text)
  if (!Number.isSafeInteger(n) || n < 0) throw new Error(`Expected a whole number, got ${text}.`)
  return n
}
