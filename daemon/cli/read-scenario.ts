import { Scenario } from '../../schemas/scenario.ts'
import { referenceMistakes } from '../practice/scenario-references.ts'
import { dotted, mistakesOf } from './mistakes.ts'
import { readYaml, type Mistake } from './yaml-lines.ts'

export type ScenarioRead =
  | { readonly ok: true; readonly scenario: Scenario }
  | { readonly ok: false; readonly mistakes: readonly Mistake[] }

/** 1 MB holds the 2000 events, 200 sensors and 60 places that a scenario may have, with comments (X3). */
const MAX_BYTES = 1_000_000

/** A scenario from its YAML, or every mistake at once, in order of lines. */
export function readScenario(text: string): ScenarioRead {
  const read = readYaml(text, MAX_BYTES)
  if (!read.ok) return read
  const parsed = Scenario.safeParse(read.value, { reportInput: true })
  const found = [...(parsed.success ? [] : mistakesOf(parsed.error)), ...referenceMistakes(read.value)]
  if (parsed.success && found.length === 0) return { ok: true, scenario: parsed.data }
  const mistakes = found.map(({ path, message }) => ({
    path: dotted(path),
    line: read.lineOf(path),
    message,
  }))
  return { ok: false, mistakes: mistakes.sort((a, b) => a.line - b.line) }
}
