import type { Animal } from '../../schemas/animal.ts'
import type { Reminder } from '../../schemas/season.ts'
import { pathOfNoting } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'
import { notingForReminder } from '../words/animal-words.ts'
import { held } from '../words/held.ts'
import { SourcesList } from './sources-list.tsx'
import { say } from '../../shared/words/say.ts'

/** What its plan asks for next. */
export function RemindersSay({ reminders, animal }: { reminders: readonly Reminder[]; animal: Animal }) {
  const { tell } = usePage()
  if (reminders.length === 0) return null
  return (
    <section class="says" aria-labelledby="reminders">
      <h2 id="reminders">{say('To be done')}</h2>
      <ul class="judged">
        {reminders.map((reminder) => {
          const kind = notingForReminder[reminder.kind]
          return (
            <li key={reminder.id} class="step">
              <p>
                {kind === null ? (
                  <strong>{reminder.title}</strong>
                ) : (
                  <Link to={pathOfNoting(animal.id, kind)} class="step-way">
                    {reminder.title}
                  </Link>
                )}{' '}
                <span class={reminder.standing === 'late' ? 'step-late' : 'soft'}>
                  {standingWords[reminder.standing]}
                  {reminder.standing !== 'due' && ` ${tell.date(reminder.on)}`}
                </span>
              </p>
              <p class="soft">{held(reminder.sentence)}</p>
            </li>
          )
        })}
      </ul>
      <SourcesList of={reminders} />
    </section>
  )
}

const standingWords = { late: say('late, was due'), due: say('today'), coming: say('on') } as const
