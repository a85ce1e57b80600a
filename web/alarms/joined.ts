import type { JournalLine } from '../../schemas/api.ts'

/** Journal lines of both, each once, newest first. */
export function joined(some: readonly JournalLine[], more: readonly JournalLine[]): JournalLine[] {
  const byId = new Map([...some, ...more].map((line) => [line.id, line]))
  return [...byId.values()].sort((a, b) => b.id - a.id)
}
