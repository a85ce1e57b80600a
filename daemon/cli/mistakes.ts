import type { z } from 'zod'
import type { Mistake } from './yaml-lines.ts'

/** One entry per thing that is wrong, in a person's words, with the path of each; unknown keys one by one. */
export function mistakesOf(error: z.ZodError): { path: PropertyKey[]; message: string }[] {
  return error.issues.flatMap((issue) => {
    if (issue.code === 'unrecognized_keys') {
      return issue.keys.map((key) => ({ path: [...issue.path, key], message: 'is not a known key' }))
    }
    return [{ path: issue.path, message: sentenceOf(issue) }]
  })
}

export const dotted = (path: readonly PropertyKey[]): string => path.map(String).join('.')

/** `brumal.yaml:3: http.port: expected a number`, for one line on stderr. A variable stands in no file. */
export function lineFor(file: string, { path, line, message }: Mistake): string {
  const place = path.startsWith('BRUMAL_') ? '' : line === undefined ? file : `${file}:${line}`
  return [place, path, message].filter((part) => part !== '').join(': ')
}

function sentenceOf(issue: z.core.$ZodIssue): string {
  if (issue.code === 'invalid_type') {
    if (issue.input === undefined && issue.message.includes('undefined')) return 'is missing'
    return `expected ${nameOf[issue.expected] ?? issue.expected}`
  }
  if (issue.code === 'invalid_value') return `expected one of ${issue.values.map(String).join(', ')}`
  if (issue.code === 'too_small') return boundOf('least', issue.minimum, issue.origin)
  if (issue.code === 'too_big') return boundOf('most', issue.maximum, issue.origin)
  return issue.message.replace(/^Invalid input: /, '')
}

function boundOf(which: 'least' | 'most', bound: number | bigint, origin: string): string {
  if (origin === 'string' && which === 'least' && bound === 1) return 'must not be empty'
  const unit = origin === 'string' ? ' characters' : origin === 'array' ? ' entries' : ''
  return `expected at ${which} ${bound}${unit}`
}

const nameOf: Partial<Record<string, string>> = {
  int: 'a whole number',
  number: 'a number',
  string: 'text',
  boolean: 'true or false',
  array: 'a list',
  object: 'keys with values',
}
