import { useSignal, useSignalEffect, type ReadonlySignal } from '@preact/signals'
import { useEffect } from 'preact/hooks'
import type { JournalLine, Problem } from '../../schemas/api.ts'
import { type Answer, query } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { openingsSinceMs } from './openings.ts'

/** Lines of one answer: the most that the journal gives. */
const pageSize = 500
/** Answers at most: 2,000 lines are two weeks of a house where much goes wrong; a phone need not read more. */
const mostPages = 4

export interface DoorLines {
  /** Lines about opened doors, of every place, newest first. */
  readonly lines: readonly JournalLine[]
  /** Everything since here has been read; null while it is read. */
  readonly readFrom: number | null
  readonly problem: Problem | null
}

/** The opened doors of the last two weeks out of the journal, with those that come while one looks. */
export function useOpenings(): ReadonlySignal<DoorLines> {
  const page = usePage()
  const state = useSignal<DoorLines>({ lines: [], readFrom: null, problem: null })

  useEffect(() => {
    let newest = 0
    const read = async (): Promise<void> => {
      newest += 1
      const mine = newest
      const since = page.now.peek() - openingsSinceMs
      const found: JournalLine[] = []
      let before: number | null = null
      let readFrom = since
      for (let i = 0; i < mostPages; i += 1) {
        const path: string = `/api/journal${query({ before, limit: pageSize })}`
        const answer: Answer<JournalLine[]> = await page.ask<JournalLine[]>('GET', path)
        if (mine !== newest) return
        if (!answer.ok) {
          state.value = { ...state.value, problem: answer.problem }
          return
        }
        found.push(...answer.value.filter(isDoor))
        const last = answer.value[answer.value.length - 1]
        if (answer.value.length < pageSize || last === undefined || last.at < since) break
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
  }, [])
  useSignalEffect(() => {
    const event = page.event.value
    if (event?.kind !== 'journal' || !isDoor(event.line)) return
    const now = state.peek()
    state.value = { ...now, lines: [event.line, ...now.lines] }
  })
  return state
}

const isDoor = ({ kind }: JournalLine): boolean => kind === 'doorOpened'
