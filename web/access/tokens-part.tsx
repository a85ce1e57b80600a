import { useSignal } from '@preact/signals'
import type { AccessTokenNow, MadeToken } from '../../schemas/access.ts'
import { pathTo } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Question } from '../parts/question.tsx'
import { ShownOnce } from '../parts/shown-once.tsx'
import { useAct } from '../parts/use-act.ts'
import { focusPart, Part } from './part.tsx'
import { scopeName } from './scope-names.ts'
import { lastsWords, usedWords } from './seen-words.ts'
import { TokenForm } from './token-form.tsx'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** Access tokens: keys with which a script asks the API. */
export function TokensPart({
  tokens,
  onChange,
}: {
  tokens: readonly AccessTokenNow[]
  onChange: () => void
}) {
  const isMaking = useSignal(false)
  const made = useSignal<MadeToken | null>(null)
  const said = useSignal('')
  return (
    <Part id="tokens" title={say('Keys for scripts')} said={said}>
      {tokens.length === 0 && (
        <p class="soft">{say('None. A script or a wall display asks Brumal with one.')}</p>
      )}
      <ul class="things">
        {tokens.map((token) => (
          <li key={token.id}>
            <TokenLine
              token={token}
              onEnded={() => {
                said.value = say('The key {token} is ended.', { token: token.name })
                focusPart('tokens')
                onChange()
              }}
            />
          </li>
        ))}
      </ul>
      {made.value !== null && (
        <ShownOnce
          title={say('The key {token}', { token: made.value.token.name })}
          words={say('Whoever has it may do what it is for. It is shown only here and now.')}
          lines={[
            { title: say('Key'), text: made.value.secret },
            { title: say('A line that asks with it'), text: curlLine(made.value.secret) },
          ]}
          onDone={() => {
            made.value = null
            focusPart('tokens')
          }}
        />
      )}
      <button type="button" aria-expanded={isMaking.value} onClick={() => (isMaking.value = !isMaking.value)}>
        {say('Make a key')}
      </button>
      {isMaking.value && (
        <TokenForm
          onCancel={() => (isMaking.value = false)}
          onMade={(token) => {
            isMaking.value = false
            made.value = token
            onChange()
          }}
        />
      )}
    </Part>
  )
}

/** RFC 6750 §2.1. */
const curlLine = (secret: string): string =>
  `curl -H 'Authorization: Bearer ${secret}' ${location.origin}/api/tonight`

function TokenLine({ token, onEnded }: { token: AccessTokenNow; onEnded: () => void }) {
  const { ask, now } = usePage()
  const act = useAct()
  const isAsked = useSignal(false)
  const { id, name, scope, by, usedAt, expiresAt } = token
  const about = [
    say('may {part}', { part: scopeName[scope] }),
    say('of {by}', { by }),
    usedAt === null ? say('never used') : usedWords(now.value - usedAt),
    ...(expiresAt === null ? [] : [lastsWords(expiresAt - now.value)]),
  ]
  return (
    <div class="thing">
      <p>
        <strong>{name}</strong> <span class="soft">{about.join(', ')}</span>
      </p>
      <div class="thing-acts">
        <button
          type="button"
          class="quiet"
          aria-expanded={isAsked.value}
          onClick={() => (isAsked.value = !isAsked.value)}
        >
          {sayWith('End{unseen}', { unseen: <span class="unseen"> {name}</span> })}
        </button>
      </div>
      {isAsked.value && (
        <Question
          question={say('Whatever asks with this key is refused from then on.')}
          yes={say('End {name}', { name })}
          isBusy={act.isBusy.value}
          onNo={() => (isAsked.value = false)}
          onYes={() => void act.run(() => ask('DELETE', pathTo('tokens', id)), onEnded)}
        />
      )}
      <ProblemNote problem={act.problem.value} />
    </div>
  )
}
