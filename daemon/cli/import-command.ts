import type { Command } from 'commander'
import type { Settings } from '../../schemas/settings.ts'
import { machineClock } from '../host/clock.ts'
import type { ReadingsOptions } from './import-choice.ts'

type ImportOptions = Omit<ReadingsOptions, 'file'> & {
  readonly readings?: string
  readonly undo?: string
  readonly list: boolean
}

/** `brumal import`: a whole household, or a past winter from a logger’s table. */
export function addImport(
  program: Command,
  {
    withSettings,
    out,
    err,
  }: {
    readonly withSettings: (work: (settings: Settings) => Promise<number>) => Promise<void>
    readonly out: (line: string) => void
    readonly err: (line: string) => void
  },
): void {
  program
    .command('import')
    .description(
      'while Brumal is stopped: replace the whole household by an exported one, or take in a past winter from a logger’s table',
    )
    .argument('[file]', 'household (YAML)')
    .option('--readings <file>', 'a table of readings from any logger (CSV)')
    .option('--sensor <id>', 'whose readings they are')
    .option('--logger <name>', 'or the name of a logger of the past')
    .option('--place <id>', 'where that logger was')
    .option('--zone <name>', 'time zone that the logger’s clock ran in, where its times are local')
    .option('--unit <unit>', 'celsius, fahrenheit or kelvin, where the table does not say it')
    .option('--day-order <order>', 'dayFirst or monthFirst, where dates may be read both ways')
    .option('--temperature <column>', 'heading or number of the column, where several may be meant')
    .option('--humidity <column>', 'the same of the humidity')
    .option('--list', 'list the tables that were taken in', false)
    .option('--undo <id>', 'take one back: all that it added, and only that')
    .action(async (file: string | undefined, options: ImportOptions, command: Command) => {
      const asked = [file, options.readings, options.undo, options.list || undefined]
      if (asked.filter((one) => one !== undefined).length !== 1)
        command.error('error: give exactly one of a household file, --readings, --undo and --list')
      await withSettings(async ({ data }) => {
        const world = { clock: machineClock(), out, err }
        if (file !== undefined) return (await import('./household.ts')).importHousehold(data, file, world)
        const { importReadings, listReadings, undoReadings } = await import('./import-readings.ts')
        if (options.list) return listReadings(data, out)
        const progress = process.stderr.isTTY
          ? (text: string) => void process.stderr.write(`\r\x1b[K${text}`)
          : null
        if (options.undo !== undefined) return undoReadings(data, options.undo, { ...world, progress })
        return importReadings(data, { ...options, file: options.readings ?? '' }, { ...world, progress })
      })
    })
}
