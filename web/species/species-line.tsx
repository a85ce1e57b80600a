import { useSignal } from '@preact/signals'
import type { Guidance, SpeciesProfile } from '../../schemas/species.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { winterWords } from './figure-words.ts'
import { OwnForm } from './own-form.tsx'
import { removeProfile } from './save-profile.ts'
import { SpeciesFigures } from './species-figures.tsx'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** One species: its name and how it winters; opened, its numbers, and what a keeper may do with them. */
export function SpeciesLine({
  profile,
  all,
  guidance,
  onChange,
}: {
  profile: SpeciesProfile
  all: readonly SpeciesProfile[]
  guidance: Guidance
  onChange: () => void
}) {
  const isOpen = useSignal(false)
  const from = all.find(({ id }) => id === profile.own?.from)
  return (
    <details class="species-line" onToggle={(event) => (isOpen.value = event.currentTarget.open)}>
      <summary>
        <strong>{profile.common}</strong> <i>{profile.latin}</i> · {winterWords[profile.winter]}
        {profile.weak && <span class="evidence">{say('common practice')}</span>}
        {profile.own !== undefined && <span class="evidence">{say('your own')}</span>}
      </summary>
      {isOpen.value && (
        <div class="species-body">
          {profile.own !== undefined && (
            <p>
              {say('Made from {part}: {reason}', {
                part: from?.common ?? profile.own.from,
                reason: profile.own.reason,
              })}
            </p>
          )}
          {profile.weak && (
            <p class="hint">
              {say(
                'These figures rest on the habit of keepers: no formal source was found for most of them.',
              )}
            </p>
          )}
          <SpeciesFigures profile={profile} guidance={guidance} />
          <KeeperActs profile={profile} all={all} guidance={guidance} onChange={onChange} />
        </div>
      )}
    </details>
  )
}

function KeeperActs({
  profile,
  all,
  guidance,
  onChange,
}: {
  profile: SpeciesProfile
  all: readonly SpeciesProfile[]
  guidance: Guidance
  onChange: () => void
}) {
  const page = usePage()
  const act = useAct()
  const isWriting = useSignal(false)
  if (page.person.value?.role !== 'keeper') return null
  const isOwn = profile.own !== undefined
  return (
    <>
      <div class="species-acts">
        <button
          type="button"
          aria-expanded={isWriting.value}
          onClick={() => (isWriting.value = !isWriting.value)}
        >
          {isOwn ? say('Change') : say('Make an own profile from this one')}
          {isOwn && <span class="unseen"> {profile.common}</span>}
        </button>
        {isOwn && (
          <button
            type="button"
            class="quiet"
            disabled={act.isBusy.value}
            onClick={() => void act.run(() => removeProfile(page, profile, onChange), onChange)}
          >
            {sayWith('Remove{unseen}', { unseen: <span class="unseen"> {profile.common}</span> })}
          </button>
        )}
      </div>
      <ProblemNote problem={act.problem.value} />
      {isWriting.value && (
        <OwnForm
          profile={profile}
          taken={all}
          guidance={guidance}
          onDone={() => {
            isWriting.value = false
            onChange()
          }}
        />
      )}
    </>
  )
}
