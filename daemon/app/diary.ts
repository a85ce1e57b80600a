import { later } from '../../schemas/amounts.ts'
import type { DiaryEntry, DiaryLine } from '../../schemas/diary.ts'
import type { EntryId } from '../../schemas/ids.ts'
import { canonical } from '../../shared/diary/entry-id.ts'
import { noteWords } from '../../shared/diary/note-words.ts'
import { subjectName } from '../../shared/diary/write-table.ts'
import { localDate } from '../../shared/time/wall.ts'
import type { Outcome } from '../ports/outcome.ts'
import type { DiaryDesk, DiaryRefusal, MayChange } from '../ports/season.ts'
import { type DiaryWorld, isOwn, mostRows, type Refusal, refusal, tooMany } from './diary-rules.ts'
import { openDiaryTable } from './diary-table.ts'
import { notStored } from './not-stored.ts'
import { openPictures } from './pictures.ts'
import { stored } from './stored.ts'
import { say } from '../../shared/words/say.ts'

/** A phone's clock may be ahead by so much, as a sensor's may (L5). */
const aheadMs = 60_000

/** What people note of animals and places. */
export function openDiary(world: DiaryWorld): DiaryDesk {
  const { household, diary, clock } = world

  /** Why it cannot be noted; null when it can. Notes of kinds that Brumal writes come in only from its own table. */
  function objectionTo(entry: DiaryEntry, source: 'hand' | 'table'): Refusal | null {
    const { animal, place, note, at } = entry
    if (animal !== undefined && !household().animals.some(({ id }) => id === animal))
      return refusal('noSuchAnimal', say('There is no animal {animal}.', { animal }))
    if (place !== undefined && !household().places.some(({ id }) => id === place))
      return refusal('noSuchPlace', say('There is no place {place}.', { place }))
    if (at > later(clock.now(), aheadMs))
      return refusal('inFuture', say('It lies in the future; look at its date and time.'))
    if (source === 'hand' && isOwn(entry)) return byBrumal
    if (note.kind === 'photographed' && diary.picture(note.picture) === null)
      return refusal('noSuchPicture', say('The picture is not here; send it first.'))
    return null
  }

  const lineOf = (entry: DiaryEntry, by: string): DiaryLine => ({
    ...entry,
    by: nameKept(by),
    notedAt: clock.now(),
  })

  function tell(lines: readonly DiaryLine[]): void {
    const told = new Set<string>()
    for (const { animal, place } of lines) {
      const key = `${animal ?? ''}/${place ?? ''}`
      if (told.has(key)) continue
      told.add(key)
      world.publish({
        kind: 'diary',
        ...(animal === undefined ? {} : { animal }),
        ...(place === undefined ? {} : { place }),
      })
    }
  }

  function journal(about: DiaryLine, by: string, text: string): void {
    const { animal, place } = about
    world.note({
      at: clock.now(),
      kind: 'noted',
      by,
      ...(animal === undefined ? {} : { animal }),
      ...(place === undefined ? {} : { place }),
      text: text.slice(0, 500),
    })
  }

  const nameOf = (entry: DiaryEntry): string => subjectName(entry, household())

  /** `Pebble on 2026-11-12` */
  const whatAndWhen = (entry: DiaryEntry): string =>
    say('{name} on {localDate}', {
      name: nameOf(entry),
      localDate: localDate(entry.at, household().timeZone),
    })

  function saveEntry(
    entry: DiaryEntry,
    by: string,
    may: MayChange = 'all',
  ): Outcome<DiaryLine, DiaryRefusal> {
    const before = diary.entry(entry.id)
    if (before !== null && isSame(before, entry)) return { ok: true, value: before }
    if (before !== null && may === 'own' && before.by !== nameKept(by)) return notYours
    if (before !== null && isOwn(before)) return byBrumal
    const objection = objectionTo(entry, 'hand')
    if (objection !== null) return objection
    if (diary.rows(entry) >= mostRows) return tooMany(nameOf(entry))
    const line = lineOf(entry, by)
    if (!stored(() => diary.saveEntries([line]))) return notStored
    if (before !== null)
      journal(
        line,
        by,
        say('“{saying}” of {whatAndWhen} was changed to {changed}.', {
          saying: saying(before),
          whatAndWhen: whatAndWhen(before),
          changed: changed(before, entry),
        }),
      )
    tell(before === null ? [line] : [line, before])
    return { ok: true, value: line }
  }

  function changed(before: DiaryEntry, after: DiaryEntry): string {
    const moved = nameOf(before) !== nameOf(after) || before.at !== after.at
    return moved
      ? say('“{saying}” of {whatAndWhen}', { saying: saying(after), whatAndWhen: whatAndWhen(after) })
      : say('“{saying}”', { saying: saying(after) })
  }

  function removeEntries(
    ids: readonly EntryId[],
    by: string,
    may: MayChange = 'all',
  ): Outcome<null, DiaryRefusal> {
    const standing = ids.flatMap((id) => diary.entry(id) ?? [])
    const [first] = standing
    if (first === undefined) return { ok: true, value: null }
    if (may === 'own' && standing.some((line) => line.by !== nameKept(by))) return notYours
    if (standing.some(isOwn)) return byBrumal
    if (!stored(() => diary.removeEntries(ids, by, clock.now()))) return notStored
    if (standing.length === 1)
      journal(
        first,
        by,
        say('“{saying}” of {whatAndWhen} was removed.', {
          saying: saying(first),
          whatAndWhen: whatAndWhen(first),
        }),
      )
    else
      world.note({
        at: clock.now(),
        kind: 'noted',
        by,
        text: say('{standing} entries of the diary were removed.', { standing: standing.length }),
      })
    tell(standing)
    return { ok: true, value: null }
  }

  return {
    diary: (query) => diary.entries(query),
    saveEntry,
    removeEntry: (id, by) => removeEntries([id], by),
    removeEntries,
    ...openPictures(world),
    ...openDiaryTable({
      ...world,
      objectionTo: (entry) => objectionTo(entry, 'table'),
      lineOf,
      nameOf,
      tell,
    }),
  }
}

const byBrumal = refusal(
  'notByHand',
  say('Brumal writes this as it happens; it cannot be noted, changed or removed by hand.'),
)

const notYours = refusal('notYours', say('Somebody else noted this; a keeper can change it.'))

/** A script's name holds two others, and an entry keeps the first 60 characters. */
const nameKept = (by: string): string => by.slice(0, 60)

const saying = ({ note, text }: DiaryEntry): string =>
  text === undefined || text === '' ? noteWords(note) : `${noteWords(note)}. ${cut(text)}`

const cut = (text: string): string => (text.length > 120 ? `${text.slice(0, 119)}…` : text)

/** Whether both say the same, whoever wrote them and when. */
function isSame(line: DiaryLine, entry: DiaryEntry): boolean {
  const { by: _by, notedAt: _notedAt, ...said } = line
  return canonical(said) === canonical(entry)
}
