import type { DiaryEntry, DiaryLine, ImportFault } from '../../schemas/diary.ts'
import { readTable } from '../../shared/diary/read-table.ts'
import type { TableEntry } from '../../shared/diary/table-world.ts'
import { writeTable } from '../../shared/diary/write-table.ts'
import type { DiaryDesk } from '../ports/season.ts'
import { type DiaryWorld, mostRows, type Refusal, tooMany } from './diary-rules.ts'
import { notStored } from './not-stored.ts'
import { stored } from './stored.ts'
import { say, sayCount } from '../../shared/words/say.ts'

/** Faults of one answer (X3): whoever mends so many at a time sends the table again anyway. */
const mostFaults = 100

/** The diary as a table for a spreadsheet, and out of one. A table only adds: what stands is left as it is. */
export function openDiaryTable(
  world: DiaryWorld & {
    readonly objectionTo: (entry: DiaryEntry) => Refusal | null
    readonly lineOf: (entry: DiaryEntry, by: string) => DiaryLine
    readonly tell: (lines: readonly DiaryLine[]) => void
    readonly nameOf: (entry: DiaryEntry) => string
  },
): Pick<DiaryDesk, 'importDiary' | 'exportDiary'> {
  const { household, diary, clock, objectionTo, lineOf, tell, nameOf } = world

  /** What of it is new, and why it may not come in. */
  function sifted(entries: readonly TableEntry[]) {
    const fresh: DiaryEntry[] = []
    const faults: ImportFault[] = []
    for (const { line, entry } of entries) {
      if (diary.entry(entry.id) !== null) continue
      const objection = objectionTo(entry)
      if (objection === null) fresh.push(entry)
      else faults.push({ line, sentence: objection.sentence })
    }
    return { fresh, faults, known: entries.length - fresh.length - faults.length }
  }

  /** Null where everybody's diary has room for it. */
  function fullFor(fresh: readonly DiaryEntry[]): Refusal | null {
    const more = new Map<string, number>()
    for (const entry of fresh) {
      const about = `${entry.animal ?? ''}/${entry.place ?? ''}`
      const count = (more.get(about) ?? diary.rows(entry)) + 1
      if (count > mostRows) return tooMany(nameOf(entry))
      more.set(about, count)
    }
    return null
  }

  return {
    importDiary(csv, isTrial, by) {
      const { timeZone, animals, places } = household()
      const read = readTable(csv, { timeZone, animals, places, now: clock.now() })
      const { fresh, faults: objections, known } = sifted(read.entries)
      const faults = [...read.faults, ...objections].toSorted((a, b) => a.line - b.line)
      const looked = { entries: fresh, known, faults: shown(faults) }
      const full = faults.length > 0 ? null : fullFor(fresh)
      if (full !== null) return full
      if (isTrial || faults.length > 0 || fresh.length === 0)
        return { ok: true, value: { ...looked, isKept: !isTrial && faults.length === 0 } }
      const lines = fresh.map((entry) => lineOf(entry, by))
      if (!stored(() => diary.saveEntries(lines))) return notStored
      const text = sayCount(
        lines.length,
        '{n} entry came into the diary from a table.',
        '{n} entries came into the diary from a table.',
      )
      world.note({ at: clock.now(), kind: 'noted', by, text })
      tell(lines)
      return { ok: true, value: { ...looked, isKept: true } }
    },

    exportDiary: () => writeTable(diary.entries({}).toReversed(), household()),
  }
}

const shown = (faults: readonly ImportFault[]): readonly ImportFault[] => {
  const more = faults.length - mostFaults
  const next = faults[mostFaults]
  return next === undefined
    ? faults
    : [
        ...faults.slice(0, mostFaults),
        { line: next.line, sentence: say('From here on {more} more are not shown.', { more }) },
      ]
}
