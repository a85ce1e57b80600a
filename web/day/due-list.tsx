import type { DayList } from '../../schemas/season.ts'
import { groupsOf, type ReminderGroup } from '../../shared/animals/reminder-groups.ts'
import { SourcesList } from '../animals/sources-list.tsx'
import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { lateWords, tapOf, whereOf } from '../words/reminder-words.ts'
import { useTap } from './use-tap.ts'
import { held } from '../words/held.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** What is late or due today, the most pressing first, each with a tap or the way to where it is noted. */
export function DueList({ day, onChange }: { day: DayList; onChange: () => void }) {
  const groups = groupsOf(day.due, ({ standing }) => standing)
  return (
    <section class="part" aria-labelledby="day-due">
      <h2 id="day-due" tabIndex={-1}>
        {say('To do today')}
      </h2>
      {groups.length === 0 ? (
        <p class="lead">{say('Nothing is due.')}</p>
      ) : (
        <ul class="day-due">
          {groups.map((group) => (
            <DueLine key={group.reminders.map(({ id }) => id).join(' ')} group={group} onChange={onChange} />
          ))}
        </ul>
      )}
    </section>
  )
}

function DueLine({ group, onChange }: { group: ReminderGroup; onChange: () => void }) {
  const { tell } = usePage()
  const act = useAct()
  const tap = useTap(onChange)
  const [first] = group.reminders
  if (first === undefined) return null
  const tapped = tapOf[group.kind]
  const where = whereOf(first)
  const late = lateWords(group.reminders, tell.date)
  return (
    <li class={late === '' ? 'day-line' : 'day-line is-late'}>
      <div>
        <p class="day-title">
          <strong>{group.title}</strong>
          {late !== '' && <span class="day-late">{late}</span>}
        </p>
        <p class="soft">{held(first.sentence)}</p>
        <SourcesList of={group.reminders} />
        <ProblemNote problem={act.problem.value} />
      </div>
      {tapped !== undefined && (
        <button
          type="button"
          class="strong"
          disabled={act.isBusy.value}
          onClick={() => void act.run(() => tap(group, tapped))}
        >
          {tapped.word}
          <span class="unseen">: {group.title}</span>
        </button>
      )}
      {where !== null && (
        <Link to={where.path} class="button">
          {where.word}
          <span class="unseen">: {group.title}</span>
        </Link>
      )}
      {tapped === undefined && where === null && (
        <a href="#day-food" class="button">
          {sayWith('Live food{unseen}', { unseen: <span class="unseen">: {group.title}</span> })}
        </a>
      )}
    </li>
  )
}
