import { open, readFile, type FileHandle } from 'node:fs/promises'
import { simulate } from '../practice/simulate.ts'
import { readingLine, readingsHeader, truthLine } from '../practice/simulation-text.ts'
import { lineFor } from './mistakes.ts'
import { readScenario } from './read-scenario.ts'

export interface SimulateOptions {
  readonly scenarioPath: string
  /** The scenario's own when absent. */
  readonly seed?: number
  readonly outReadings: string
  readonly outTruth: string
  /** Whether to show how far it is, on `err`. */
  readonly progress?: boolean | undefined
  readonly err?: { write(text: string): unknown }
}

/** Exit codes of sysexits.h: bad settings, here a bad scenario. */
const BAD_SCENARIO = 78

/**
 * Writes the readings (CSV, in order of arrival) and the truth (JSON lines) of a scenario. The same scenario and seed
 * give the same bytes. Returns the exit code: 0, or 78 with every mistake of the scenario on `err`.
 */
export async function simulateCommand(options: SimulateOptions): Promise<number> {
  const { scenarioPath, outReadings, outTruth } = options
  const err = options.err ?? process.stderr
  const read = readScenario(await textOf(scenarioPath))
  if (!read.ok) {
    for (const mistake of read.mistakes) err.write(`${lineFor(scenarioPath, mistake)}\n`)
    return BAD_SCENARIO
  }
  const { scenario } = read
  const readings = await outputTo(outReadings)
  try {
    const truth = await outputTo(outTruth)
    try {
      const told = options.progress === true ? progressOn(err) : () => {}
      let shown = 0
      await readings.write(readingsHeader)
      for (const event of simulate(scenario, options.seed ?? scenario.seed)) {
        if (event.kind === 'reading') await readings.write(readingLine(event.reading))
        else await truth.write(truthLine(event.line))
        if (event.kind !== 'truth' || event.line.kind !== 'state') continue
        const percent = Math.floor((100 * (Date.parse(event.line.at) - scenario.start)) / scenario.lasts)
        if (percent > shown) told((shown = percent))
      }
    } finally {
      await truth.end()
    }
  } finally {
    await readings.end()
  }
  return 0
}

async function textOf(path: string): Promise<string> {
  try {
    return await readFile(path, 'utf8')
  } catch (cause) {
    throw new Error(`cannot read the scenario ${path}`, { cause })
  }
}

/** Characters gathered before a write: a year's file takes some thousand writes. */
const CHUNK = 65_536

interface Output {
  write(text: string): Promise<void> | undefined
  end(): Promise<void>
}

async function outputTo(path: string): Promise<Output> {
  let file: FileHandle
  try {
    file = await open(path, 'w')
  } catch (cause) {
    throw new Error(`cannot write ${path}`, { cause })
  }
  let gathered = ''
  const flush = async (): Promise<void> => {
    const text = gathered
    gathered = ''
    await file.appendFile(text)
  }
  return {
    write(text) {
      gathered += text
      return gathered.length < CHUNK ? undefined : flush()
    },
    async end() {
      try {
        await flush()
      } finally {
        await file.close()
      }
    },
  }
}

const progressOn = (err: { write(text: string): unknown }) => (percent: number) =>
  err.write(`\r${percent} %${percent === 100 ? '\n' : ''}`)
