import { z } from 'zod'
import { secretSettings, Settings } from '../../schemas/settings.ts'

/** One setting that holds a value, as the schema knows it. */
export interface SettingKey {
  /** Where it stands in the file: `store.commitEvery`. */
  readonly path: string
  /** The variable that overrides it: `BRUMAL_STORE_COMMIT_EVERY`. */
  readonly variable: string
  readonly holds: 'text' | 'number' | 'truth' | 'list'
  readonly schema: z.core.$ZodType
  readonly isSecret: boolean
}

/** Every setting, in the order of the schema. */
export const settingKeys: readonly SettingKey[] = keysOf(Settings, [])

/**
 * The rule: `BRUMAL_` and the path in capitals, words parted by `_`. Two are shorter than the rule makes them:
 * `mqtt.broker.…` is `BRUMAL_BROKER_…`, and `timeZone` is `BRUMAL_TIMEZONE`.
 */
export function variableOf(path: string): string {
  if (path === 'timeZone') return 'BRUMAL_TIMEZONE'
  const words = path.replace(/^mqtt\.broker\./, 'broker.').replace(/([A-Z])/g, '_$1')
  return `BRUMAL_${words.replaceAll('.', '_').toUpperCase()}`
}

/** What a tree of keys holds at a dotted path; undefined where it holds nothing. */
export function valueAt(tree: unknown, path: string): unknown {
  let part = tree
  for (const name of path.split('.')) part = isTree(part) ? part[name] : undefined
  return part
}

/** True for keys with values, not for lists. */
export function isTree(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}

function keysOf(schema: z.core.$ZodType, path: readonly string[]): SettingKey[] {
  const bare = unwrap(schema)
  if (bare instanceof z.ZodObject) {
    const shape = bare.shape as Record<string, z.core.$ZodType>
    return Object.entries(shape).flatMap(([name, inner]) => keysOf(inner, [...path, name]))
  }
  const dotted = path.join('.')
  return [
    {
      path: dotted,
      variable: variableOf(dotted),
      holds: holdOf(bare),
      schema,
      isSecret: secretSettings.includes(dotted),
    },
  ]
}

function holdOf(schema: z.core.$ZodType): SettingKey['holds'] {
  if (schema instanceof z.ZodNumber) return 'number'
  if (schema instanceof z.ZodBoolean) return 'truth'
  return schema instanceof z.ZodArray ? 'list' : 'text'
}

/** What is inside defaults and optionals. */
function unwrap(schema: z.core.$ZodType): z.core.$ZodType {
  const isWrapped =
    schema instanceof z.ZodDefault || schema instanceof z.ZodPrefault || schema instanceof z.ZodOptional
  return isWrapped ? unwrap(schema.unwrap()) : schema
}
