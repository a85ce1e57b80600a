import { useSignal, useSignalEffect } from '@preact/signals'
import { useRef } from 'preact/hooks'
import type { JournalKind } from '../../schemas/journal.ts'
import type { MessageLine } from '../../schemas/telling-now.ts'
import { Moon } from '../moon/moon.tsx'
import { query } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { useWords } from '../page/use-words.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAnswer } from '../parts/use-answer.ts'
import { wayWords } from '../words/telling-words.ts'
import { say } from '../../shared/words/say.ts'
import { Skeleton } from '../parts/skeleton.tsx'

/** Lines added at a time, and the most that the daemon gives in one answer. */
const pageSize = 20
const most = 200
/** A try that is overdue for so long has come to something: ask what. And not more often than this. In ms. */
const overdueMs = 10_000

/** Who was told what, when and by which channel, and what came of it; newest first. */
export function MessageList() {
  const page = usePage()
  const wanted = useSignal(pageSize)
  const askedAt = useRef(0)
  const { value, problem, isBusy, again } = useAnswer<MessageLine[]>(
    `/api/messages${query({ limit: wanted.value })}`,
  )
  useSignalEffect(() => {
    const event = page.event.value
    if (event?.kind === 'journal' && ofTelling.has(event.line.kind)) again()
  })
  useSignalEffect(() => {
    const now = page.now.value
    const isOverdue = value.value?.some(({ dueAt }) => dueAt !== null && now - dueAt > overdueMs) ?? false
    if (!isOverdue || now - askedAt.current < overdueMs) return
    askedAt.current = now
    again()
  })

  const lines = value.value
  return (
    <section class="journal" aria-labelledby="messages">
      <h2 id="messages">{say('Messages')}</h2>
      {lines === null && problem.value === null && <Skeleton shape="lines" />}
      {lines?.length === 0 && <p class="soft">{say('Nobody has been told anything yet.')}</p>}
      {lines !== null && lines.length > 0 && (
        <ol class="journal-lines">
          {lines.map((line) => (
            <OneMessage key={line.key} line={line} />
          ))}
        </ol>
      )}
      <ProblemNote problem={problem.value} />
      {lines?.length === wanted.value && wanted.value < most && (
        <button type="button" disabled={isBusy.value} onClick={() => (wanted.value += pageSize)}>
          {say('More messages')}
        </button>
      )}
    </section>
  )
}

function OneMessage({ line }: { line: MessageLine }) {
  const { household, now } = usePage()
  const { names, when } = useWords()
  const channel = household.value?.contacts
    .find(({ id }) => id === line.contact)
    ?.channels.find(({ id }) => id === line.channel)
  return (
    <li>
      <time dateTime={new Date(line.bornAt).toISOString()}>{when(line.bornAt, null)}</time>
      <span class="journal-sign">
        <Moon priority={line.priority} />
      </span>
      <div>
        <p>{line.title}</p>
        <p class={`message-way message-${line.state}`}>
          {names.contact(line.contact)}
          {channel !== undefined && say(', by {label}', { label: channel.label })}:{' '}
          {wayWords(line, now.value)}
        </p>
      </div>
    </li>
  )
}

const ofTelling: ReadonlySet<JournalKind> = new Set(['told', 'notTold', 'channelGone', 'rang'])
