import { readFile } from 'node:fs/promises'
import { parse as parseYaml } from 'yaml'
import type { z } from 'zod'
import { Household } from '../../schemas/household.ts'
import { Rules } from '../../schemas/rules.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { replayHousehold, replayRules } from '../app/replay.ts'
import { readingsFromCsv } from './readings-csv.ts'

export interface ReplayOptions {
  readonly rules?: string
  readonly household?: string
  readonly readings: string
  readonly out: NodeJS.WritableStream
  readonly err: NodeJS.WritableStream
}

/** `brumal replay`: 0 when judged, 1 when a file cannot be read or understood, 64 when the options do not fit. */
export async function replayCommand(options: ReplayOptions): Promise<number> {
  if ((options.rules === undefined) === (options.household === undefined)) {
    options.err.write('brumal replay: give either --rules or --household.\n')
    return 64
  }
  const text = await contents(options.readings, options.err)
  if (text === null) return 1
  const { readings, mistakes } = readingsFromCsv(text)
  for (const { line, message } of mistakes) options.err.write(`${options.readings}:${line}: ${message}\n`)
  if (mistakes.length > 0) return 1

  if (options.rules !== undefined) {
    const rules = await document(options.rules, Rules, options.err)
    if (rules === null) return 1
    return write(options.out, replayRules(rules, readings))
  }
  const household = await document(options.household ?? '', Household, options.err)
  if (household === null) return 1
  return write(options.out, replayHousehold(household, readings, profileOf))
}

async function write(out: NodeJS.WritableStream, lines: Iterable<object>): Promise<number> {
  for (const line of lines) {
    if (!out.write(`${JSON.stringify(line)}\n`)) await new Promise((resolve) => out.once('drain', resolve))
  }
  return 0
}

async function contents(path: string, err: NodeJS.WritableStream): Promise<string | null> {
  try {
    return await readFile(path, 'utf8')
  } catch (error) {
    err.write(`${path}: ${error instanceof Error ? error.message : String(error)}\n`)
    return null
  }
}

/** A YAML file checked by its schema; every mistake goes to `err` with its path. */
async function document<Schema extends z.ZodType>(
  path: string,
  schema: Schema,
  err: NodeJS.WritableStream,
): Promise<z.output<Schema> | null> {
  const text = await contents(path, err)
  if (text === null) return null
  let parsed: unknown
  try {
    parsed = parseYaml(text)
  } catch (error) {
    err.write(`${path}: ${error instanceof Error ? error.message : String(error)}\n`)
    return null
  }
  const checked = schema.safeParse(parsed)
  if (checked.success) return checked.data
  for (const issue of checked.error.issues)
    err.write(`${path}: ${issue.path.join('.') || '(whole file)'}: ${issue.message}\n`)
  return null
}
