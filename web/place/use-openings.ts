import { useSignal, useSignalEffect, type ReadonlySignal } from '@preact/signals'
import { useEffect } from 'preact/hooks'
import type { JournalLine, Problem } from '../../schemas/api.ts'
import type { JournalKind } from '../../schemas/journal.ts'
import { faultLines } from '../chart/faults.ts'
import { type Answer, query } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { openingsSinceMs } from './openings.ts'

/** Lines of one answer: the most that the journal gives. */
const pageSize = 500
/** Answers at most: 2,000 lines are two weeks of a place where much goes wrong; a phone need not read more. */
const mostPages = 4

/** What the page of a place asks of the journal. */
const asked: readonly JournalKind[] = ['doorOpened', ...faultLines]
/** Places that the journal can be asked for at once; of more it is asked for all. */
const mostPlaces = 64

export interface DoorLines {
  /** Lines about opened doors and about the alarms of a curve, newest first. */
  readonly lines: readonly JournalLine[]
  /** Everything since here has been read; null while it is read. */
  readonly readFrom: number | null
  readonly problem: Problem | null
}

/** What the journal of the last two weeks tells of `places`, with what comes while one looks. */
export function useOpenings(places: ReadonlySet<string>): ReadonlySignal<DoorLines> {
  const page = usePage()
  const state = useSignal<DoorLines>({ lines: [], readFrom: null, problem: null })
  const ids = [...places].sort()
  const key = ids.join(' ')

  useEffect(() => {
    let newest = 0
    const about = new URLSearchParams([
      ...asked.map((kind) => ['kind', kind]),
      ...(ids.length > mostPlaces ? [] : ids.map((id) => ['place', id])),
    ]).toString()
    const read = async (): Promise<void> => {
      newest += 1
      const mine = newest
      const since = Math.floor(page.now.peek() - openingsSinceMs)
      const found: JournalLine[] = []
      let before: number | null = null
      let readFrom = since
      for (let i = 0; i < mostPages; i += 1) {
        const path: string = `/api/journal${query({ before, from: since, limit: pageSize })}&${about}`
        const answer: Answer<JournalLine[]> = await page.ask<JournalLine[]>('GET', path)
        if (mine !== newest) return
        if (!answer.ok) {
          state.value = { ...state.value, problem: answer.problem }
          return
        }
        found.push(...answer.value)
        const last = answer.value[answer.value.length - 1]
        if (answer.value.length < pageSize || last === undefined) break
        before = last.id
        if (i === mostPages - 1) readFrom = last.at
      }
      state.value = { lines: found, readFrom, problem: null }
    }
    // Called at once, and again when the stream is back after a break
    const stop = page.returns.subscribe(() => void read())
    return () => {
      newest += 1
      stop()
    }
  }, [key])
  useSignalEffect(() => {
    const event = page.event.value
    if (event?.kind !== 'journal' || !asked.includes(event.line.kind)) return
    const now = state.peek()
    state.value = { ...now, lines: [event.line, ...now.lines] }
  })
  return state
}
