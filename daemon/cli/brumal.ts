#!/usr/bin/env node
import { readFileSync } from 'node:fs'
import { Command, CommanderError } from 'commander'
import { lineFor } from './mistakes.ts'
import type { LoadedSettings } from './settings.ts'

/** Exit codes of sysexits.h: wrong use, bad settings. */
const wrongUse = 64
const badSettings = 78

const program = new Command('brumal')
  .description('Watches animals through winter: readings by MQTT, alarms that ring in time, an honest log.')
  .version(version(), '--version', 'print the version')
  .helpOption('--help', 'print this help')
  .helpCommand(false)
  .option('--settings <file>', 'settings file (default: BRUMAL_SETTINGS, else brumal.yaml in this folder)')
  .exitOverride()
  .configureOutput({ outputError: (text, write) => write(text.replace(/^error: /, 'brumal: ')) })
  .showSuggestionAfterError(true)

program
  .command('run', { isDefault: true })
  .description('watch until stopped (the default)')
  .allowExcessArguments()
  .action(async (_options, command: Command) => {
    const [word] = command.args
    if (word !== undefined) command.error(`error: there is no command ${word} (see brumal --help)`)
    await run(false)
  })

program
  .command('practice')
  .description('watch an invented household with invented faults, to see how it looks and rings')
  .action(() => run(true))

program
  .command('check')
  .description('print every setting and where it comes from, or every mistake')
  .action(async () => {
    const { check } = await import('./check.ts')
    process.exitCode = check(await settings(), print, complain)
  })

program
  .command('replay')
  .description('judge recorded readings and print one JSON line per alarm event')
  .option('--rules <file>', 'limits to judge by (YAML)')
  .option('--household <file>', 'household to judge by, as written by export (YAML)')
  .requiredOption('--readings <file>', 'readings (CSV: at,sensor,quantity,value)')
  .action(async (options: { rules?: string; household?: string; readings: string }, command: Command) => {
    if ((options.rules === undefined) === (options.household === undefined)) {
      command.error('error: give exactly one of --rules and --household')
    }
    const { replayCommand } = await import('./replay.ts')
    process.exitCode = await replayCommand({ ...options, out: process.stdout, err: process.stderr })
  })

program
  .command('simulate')
  .description('write the readings and the truth of an invented winter')
  .requiredOption('--scenario <file>', 'places, sensors and faults (YAML)')
  .requiredOption('--readings <file>', 'where to write the readings (CSV)')
  .requiredOption('--truth <file>', 'where to write the faults and true temperatures')
  .option('--seed <number>', 'same seed, same winter', '1')
  .action(
    async (
      options: { scenario: string; readings: string; truth: string; seed: string },
      command: Command,
    ) => {
      if (!/^\d{1,9}$/.test(options.seed)) command.error('error: --seed must be a whole number')
      const { simulateCommand } = await import('./simulate.ts')
      process.exitCode = await simulateCommand({
        scenarioPath: options.scenario,
        seed: Number(options.seed),
        outReadings: options.readings,
        outTruth: options.truth,
        progress: process.stderr.isTTY,
      })
    },
  )

// A reader that has seen enough (`| head`) is no failure.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(0)
  throw error
})

try {
  await program.parseAsync()
} catch (error) {
  if (error instanceof CommanderError) {
    process.exitCode = error.exitCode === 0 ? 0 : wrongUse
  } else {
    complain(`brumal: ${sentenceOf(error)}`)
    process.exitCode = 1
  }
}

async function run(practice: boolean): Promise<void> {
  const loaded = await settings()
  if (!loaded.ok) {
    for (const mistake of loaded.mistakes) complain(lineFor(loaded.path, mistake))
    process.exitCode = badSettings
    return
  }
  const { runDaemon } = await import('../main.ts')
  process.exitCode = await runDaemon({ settings: loaded.settings, practice })
}

async function settings(): Promise<LoadedSettings> {
  const { loadSettings } = await import('./settings.ts')
  const { settings: path } = program.opts<{ settings?: string }>()
  return loadSettings({
    env: process.env,
    cwd: process.cwd(),
    path,
    readFile: (file) => readFileSync(file, 'utf8'),
  })
}

/** What went wrong and why, down the chain of causes, in one line. */
function sentenceOf(error: unknown): string {
  if (!(error instanceof Error)) return String(error)
  const stack = process.env['BRUMAL_LOG_LEVEL'] === 'debug' ? `\n${error.stack}` : ''
  const because = error.cause === undefined ? '' : `: ${sentenceOf(error.cause)}`
  return `${error.message}${because}${stack}`
}

function version(): string {
  // Compiled, this file lies two folders deeper than the package; from source, one fewer.
  for (const up of ['../../../package.json', '../../package.json']) {
    try {
      const found = JSON.parse(readFileSync(new URL(up, import.meta.url), 'utf8')) as Record<string, unknown>
      if (found['name'] === 'brumal') return String(found['version'])
    } catch {
      continue // not there: the other place is tried next
    }
  }
  return 'unknown'
}

function print(line: string): void {
  process.stdout.write(`${line}\n`)
}

function complain(line: string): void {
  process.stderr.write(`${line}\n`)
}
