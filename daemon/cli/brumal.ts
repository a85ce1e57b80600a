#!/usr/bin/env node
import { randomBytes } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { Command, CommanderError } from 'commander'
import type { Settings } from '../../schemas/settings.ts'
import { machineClock } from '../host/clock.ts'
import { addImport } from './import-command.ts'
import { lineFor } from './mistakes.ts'
import { outliveRepeatedSignals } from './repeated-signals.ts'
import type { LoadedSettings } from './settings.ts'
import { version } from './version.ts'

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
  .option('--seed <number>', 'same seed, same winter (default: the scenario’s own)')
  .action(
    async (
      options: { scenario: string; readings: string; truth: string; seed?: string },
      command: Command,
    ) => {
      if (!/^\d{1,9}$/.test(options.seed ?? '0')) command.error('error: --seed must be a whole number')
      const { simulateCommand } = await import('./simulate.ts')
      process.exitCode = await simulateCommand({
        scenarioPath: options.scenario,
        ...(options.seed !== undefined && { seed: Number(options.seed) }),
        outReadings: options.readings,
        outTruth: options.truth,
        progress: process.stderr.isTTY,
      })
    },
  )

program
  .command('export')
  .description('write the household as YAML: places, sensors, animals, plans; no secrets')
  .option('--out <file>', 'where to (default: standard output)')
  .option('--diary <file>', 'the diary of animals and places, too, as a table (CSV)')
  .action(async ({ out, diary }: { out?: string; diary?: string }) => {
    await withSettings(async ({ data }) => {
      const { exportHousehold } = await import('./household.ts')
      return exportHousehold(data, { file: out ?? null, diary: diary ?? null }, (text) =>
        process.stdout.write(text),
      )
    })
  })

program
  .command('report')
  .description('write the winter as one page to print or keep (HTML): of every animal, or of one')
  .option('--season <name>', 'such as 2026/27 or, in the south, 2026 (default: the one now)')
  .option('--animal <id>', 'the winter of this animal alone')
  .option('--out <file>', 'where to (default: standard output)')
  .action(async ({ season, animal, out }: { season?: string; animal?: string; out?: string }) => {
    await withSettings(async ({ data }) => {
      const { reportCommand } = await import('./report.ts')
      return reportCommand(
        data,
        { season: season ?? null, animal: animal ?? null, file: out ?? null },
        { clock: machineClock(), out: (text) => process.stdout.write(text) },
      )
    })
  })

addImport(program, { withSettings, out: print, err: complain })

program
  .command('backup')
  .description('copy everything that is kept, while Brumal runs or not, and look through the copy')
  .option('--to <folder>', 'where to (default: backups in the data folder)')
  .option('--keep <number>', 'how many copies to keep there', '14')
  .action(async ({ to, keep }: { to?: string; keep: string }, command: Command) => {
    if (!/^[1-9]\d{0,3}$/.test(keep)) command.error('error: --keep must be a whole number from 1 to 9999')
    await withSettings(async ({ data }) => {
      const { backupCommand } = await import('./backup.ts')
      return backupCommand(
        data,
        { to: to ?? null, keep: Number(keep) },
        { clock: machineClock(), out: print },
      )
    })
  })

program
  .command('restore')
  .description('put a backup in the place of what is kept, while Brumal is stopped')
  .argument('<file>', 'a file that backup made')
  .option('--replace', 'set aside what is there (it is kept under another name)', false)
  .action(async (file: string, { replace }: { replace: boolean }) => {
    await withSettings(async ({ data }) => {
      const { restoreCommand } = await import('./backup.ts')
      return restoreCommand(data, file, { replace }, { clock: machineClock(), out: print })
    })
  })

program
  .command('password')
  .description('give a person a new password (typed unseen, or one line of standard input)')
  .option('--name <name>', 'whose (default: the only keeper)')
  .action(async ({ name }: { name?: string }) => {
    await withSettings(async ({ data }) => {
      const { resetPassword } = await import('./password.ts')
      const out = (text: string) => process.stderr.write(text)
      return resetPassword(data, name, {
        clock: machineClock(),
        random: randomBytes,
        input: process.stdin,
        out,
      })
    })
  })

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

function run(practice: boolean): Promise<void> {
  return withSettings(async (settings) => {
    outliveRepeatedSignals()
    const { runDaemon } = await import('../main.ts')
    try {
      return await runDaemon({ settings, practice })
    } catch (error) {
      // Whatever was opened before it failed would keep the process alive, deaf and blind.
      complain(`brumal: ${sentenceOf(error)}`)
      process.exit(1)
    }
  })
}

/** Does `work` with good settings and takes its exit code; otherwise lists every mistake. */
async function withSettings(work: (settings: Settings) => Promise<number>): Promise<void> {
  const loaded = await settings()
  if (loaded.ok) {
    const { speakIn } = await import('./speak-in.ts')
    speakIn(loaded.settings.language)
    process.exitCode = await work(loaded.settings)
    return
  }
  for (const mistake of loaded.mistakes) complain(lineFor(loaded.path, mistake))
  process.exitCode = badSettings
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

function print(line: string): void {
  process.stdout.write(`${line}\n`)
}

function complain(line: string): void {
  process.stderr.write(`${line}\n`)
}
