import type { Problem } from '../../schemas/api.ts'
import { TextField } from '../parts/field.tsx'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** As many as a device may have besides its own. */
const mostTopics = 10

/** Topics besides a device's own, for firmware whose topics cannot be changed. */
export function TopicsField({
  own,
  topics,
  problem,
  onTopics,
}: {
  own: string
  topics: readonly string[]
  problem: Problem | null
  onTopics: (topics: string[]) => void
}) {
  return (
    <fieldset class="own-limits">
      <legend>{say('Topics')}</legend>
      <p class="hint">
        {sayWith(
          'It may publish under {code}. Does its firmware insist on others? Name them here; + and # stand for any level.',
          { code: <code>{own}</code> },
        )}
      </p>
      {topics.map((topic, row) => (
        <div class="topic-row" key={row}>
          <TextField
            label={say('Other topic {part}', { part: row + 1 })}
            field={`topics.${row}`}
            autoComplete="off"
            maxLength={200}
            problem={problem}
            value={topic}
            onValue={(value) => onTopics(topics.map((one, i) => (i === row ? value : one)))}
          />
          <button type="button" class="quiet" onClick={() => onTopics(topics.filter((_, i) => i !== row))}>
            {sayWith('Remove{unseen}', {
              unseen: <span class="unseen">{say(' other topic {part}', { part: row + 1 })}</span>,
            })}
          </button>
        </div>
      ))}
      {topics.length < mostTopics && (
        <button type="button" class="quiet" onClick={() => onTopics([...topics, ''])}>
          {say('Add a topic')}
        </button>
      )}
    </fieldset>
  )
}
