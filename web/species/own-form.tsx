import { useSignal } from '@preact/signals'
import type { SpeciesId } from '../../schemas/ids.ts'
import type { Guidance, SpeciesProfile } from '../../schemas/species.ts'
import type { FigureUnit } from '../../shared/species/figures-in.ts'
import { figureBounds } from '../../shared/species/faults.ts'
import { usePage } from '../page/use-page.ts'
import { TextField } from '../parts/field.tsx'
import { useAct } from '../parts/use-act.ts'
import { freeId } from '../set-up/free-id.ts'
import { ThingForm } from '../set-up/thing-form.tsx'
import { unitTyped } from '../words/typed-figure.ts'
import {
  isChanged,
  numberIn,
  offeredOf,
  type Offered,
  type OwnDraft,
  profileFrom,
  usualSource,
} from './own-draft.ts'
import { saveProfile } from './save-profile.ts'
import { say } from '../../shared/words/say.ts'

const roomTitle = {
  hold: say('Limits in hold'),
  active: say('Limits awake'),
  season: say('Its winter'),
} as const
const roomHint = {
  hold: say('An empty one does not ring; the critical ones must be there.'),
  active: say('An empty one does not ring; one on the cold side must be there.'),
  season: say('An empty one asks for nothing.'),
} as const

/** Makes a profile from another, or changes one of the keeper's own. */
export function OwnForm({
  profile,
  taken,
  guidance,
  onDone,
}: {
  /** The one to begin with: of the catalogue, or of the keeper's own. */
  profile: SpeciesProfile
  taken: readonly SpeciesProfile[]
  guidance: Guidance
  onDone: () => void
}) {
  const page = usePage()
  const act = useAct()
  const { own } = profile
  const draft = useSignal<OwnDraft>({
    common: own === undefined ? say('{common}, own', { common: profile.common }) : profile.common,
    reason: own?.reason ?? '',
    numbers: {},
    sources: {},
  })
  const problem = act.problem.value
  const set = (change: Partial<OwnDraft>): void => {
    draft.value = { ...draft.value, ...change }
  }
  const offered = offeredOf(profile)
  const onSave = (): void => {
    const id =
      own === undefined ? freeId(say('own {common}', { common: draft.value.common }), taken) : profile.id
    const next = profileFrom(profile, id as SpeciesId, own?.from ?? profile.id, draft.value, guidance)
    void act.run(() => saveProfile(page, next), onDone)
  }
  return (
    <ThingForm
      label={
        own === undefined
          ? say('Own profile from {common}', { common: profile.common })
          : say('Change {common}', { common: profile.common })
      }
      act={act}
      fields={['common', 'own.reason', 'id']}
      onCancel={onDone}
      onSave={onSave}
    >
      <TextField
        label={say('Name')}
        field="common"
        required
        maxLength={120}
        problem={problem}
        value={draft.value.common}
        onValue={(common) => set({ common })}
      />
      <TextField
        label={say('Why it differs')}
        field="own.reason"
        hint={say('Who advised it, or what you know of your animals. Stands in the journal.')}
        required
        maxLength={300}
        problem={problem}
        value={draft.value.reason}
        onValue={(reason) => set({ reason })}
      />
      {(['hold', 'active', 'season'] as const).map((room) => {
        const numbers = offered.filter((one) => one.room === room)
        return numbers.length === 0 ? null : (
          <fieldset class="own-numbers" key={room}>
            <legend>{roomTitle[room]}</legend>
            <p class="hint">{roomHint[room]}</p>
            <div class="own-grid">
              {numbers.map((one) => (
                <NumberField
                  key={one.path}
                  offered={one}
                  draft={draft.value}
                  guidance={guidance}
                  onDraft={set}
                />
              ))}
            </div>
            {numbers
              .filter((one) => isChanged(draft.value, one, guidance))
              .map((one) => (
                <SourceField key={one.path} offered={one} draft={draft.value} onDraft={set} />
              ))}
          </fieldset>
        )
      })}
    </ThingForm>
  )
}

function NumberField({
  offered,
  draft,
  guidance,
  onDraft,
}: {
  offered: Offered
  draft: OwnDraft
  guidance: Guidance
  onDraft: (change: Partial<OwnDraft>) => void
}) {
  const { path, room, words, unit, figure } = offered
  const [least, most] = figureBounds[unit]
  return (
    <TextField
      label={`${words}, ${unitOf(unit)}`}
      field={path}
      type="number"
      min={String(least)}
      max={String(most)}
      step="any"
      measures={unit === 'celsius' ? 'temperature' : unit === 'kelvinPerWeek' ? 'difference' : 'plain'}
      required={room === 'season' && figure !== null}
      value={numberIn(draft, offered, guidance)}
      onValue={(value) => onDraft({ numbers: { ...draft.numbers, [path]: value } })}
    />
  )
}

function SourceField({
  offered: { path, words },
  draft,
  onDraft,
}: {
  offered: Offered
  draft: OwnDraft
  onDraft: (change: Partial<OwnDraft>) => void
}) {
  return (
    <TextField
      label={say('Where it comes from: {words}', { words: words.toLowerCase() })}
      field={`${path}.source`}
      placeholder={usualSource(draft.reason === '' ? '…' : draft.reason)}
      maxLength={400}
      value={draft.sources[path] ?? ''}
      onValue={(value) => onDraft({ sources: { ...draft.sources, [path]: value } })}
    />
  )
}

function unitOf(unit: FigureUnit): string {
  if (unit === 'celsius') return unitTyped('temperature')
  if (unit === 'kelvinPerWeek') return say('{unit} a week', { unit: unitTyped('difference') })
  return unitWord[unit]
}

const unitWord: Record<Exclude<FigureUnit, 'celsius' | 'kelvinPerWeek'>, string> = {
  humidity: '%RH',
  weeks: 'weeks',
  days: 'days',
  months: 'months',
  years: 'years',
  grams: 'g',
  percent: '%',
  hours: 'hours',
}
