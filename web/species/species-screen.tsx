import { useSignal } from '@preact/signals'
import type { Guidance, SpeciesProfile, Taxon } from '../../schemas/species.ts'
import { usePage } from '../page/use-page.ts'
import { TextField } from '../parts/field.tsx'
import { Link } from '../parts/link.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Screen } from '../parts/screen.tsx'
import { Skeleton } from '../parts/skeleton.tsx'
import { useAnswer } from '../parts/use-answer.ts'
import { taxonName } from './figure-words.ts'
import { SpeciesLine } from './species-line.tsx'
import { guidanceWord } from '../../shared/words/choice-words.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** Every species that is known, with every number and where it comes from. */
export function SpeciesScreen() {
  const { household, person } = usePage()
  const answer = useAnswer<SpeciesProfile[]>('/api/species')
  const wanted = useSignal('')
  const guidance = household.value?.guidance ?? 'strict'
  const all = answer.value.value
  const found = all?.filter((profile) => isMeant(profile, wanted.value))
  return (
    <Screen title={say('Species')} heading={say('Species')}>
      <p class="lead">
        {sayWith(
          'What is known of each species, every number with where it comes from. Where sources conflict, the figure by {guidance} guidance stands first.{part}',
          {
            guidance: guidanceWord[guidance],
            part: person.value?.role === 'keeper' && (
              <>
                {' '}
                <Link to="/set-up">{say('Change the guidance in Set-up')}</Link>
              </>
            ),
          },
        )}
      </p>
      <ProblemNote problem={answer.problem.value} onAgain={all === null ? answer.again : null} />
      {all === null && answer.problem.value === null && <Skeleton shape="lines" />}
      {all !== null && found !== undefined && (
        <>
          <div class="species-search">
            <TextField
              label={say('Find a species')}
              field="wanted"
              placeholder={say('Name, Latin name')}
              value={wanted.value}
              onValue={(value) => (wanted.value = value)}
            />
          </div>
          <p role="status" class="soft">
            {found.length === 0
              ? say('No species is called so.')
              : say('{found} of {all} species', { found: found.length, all: all.length })}
          </p>
          <SpeciesParts found={found} all={all} guidance={guidance} onChange={answer.again} />
        </>
      )}
    </Screen>
  )
}

function SpeciesParts({
  found,
  all,
  guidance,
  onChange,
}: {
  found: readonly SpeciesProfile[]
  all: readonly SpeciesProfile[]
  guidance: Guidance
  onChange: () => void
}) {
  const parts = [
    ['own', say('Your own'), found.filter(({ own }) => own !== undefined)] as const,
    ...(Object.keys(taxonName) as Taxon[]).map(
      (taxon) =>
        [
          taxon,
          taxonName[taxon],
          found.filter((profile) => profile.taxon === taxon && profile.own === undefined),
        ] as const,
    ),
  ]
  return parts.map(([id, title, profiles]) =>
    profiles.length === 0 ? null : (
      <section class="part" key={id} aria-labelledby={`species-${id}`}>
        <h2 id={`species-${id}`}>{title}</h2>
        {profiles.map((profile) => (
          <SpeciesLine key={profile.id} profile={profile} all={all} guidance={guidance} onChange={onChange} />
        ))}
      </section>
    ),
  )
}

function isMeant({ common, latin }: SpeciesProfile, wanted: string): boolean {
  const words = wanted.toLowerCase().split(/\s+/)
  const names = `${common} ${latin}`.toLowerCase()
  return words.every((word) => names.includes(word))
}
