import type { ComponentChildren } from 'preact'
import type { Figure, Guidance, PhaseBand, SpeciesProfile } from '../../schemas/species.ts'
import { figuresIn } from '../../shared/species/figures-in.ts'
import { durationWords } from '../../shared/telling/words.ts'
import { usePage } from '../page/use-page.ts'
import { ruleName } from '../../shared/animals/rule-name.ts'
import { limitName } from '../words/names.ts'
import { bothOf, edgeWords, evidenceWord, figureWords } from './figure-words.ts'
import { held } from '../words/held.ts'
import { guidanceWord } from '../../shared/words/choice-words.ts'
import { say } from '../../shared/words/say.ts'

/** Every number of a profile, the one by the chosen guidance first, with where it comes from beside it. */
export function SpeciesFigures({ profile, guidance }: { profile: SpeciesProfile; guidance: Guidance }) {
  const { tell } = usePage()
  const figures = figuresIn(profile)
  const rows = (room: string) =>
    figures
      .filter(({ path }) => path.startsWith(room))
      .map(({ path, words, unit, figure }) => (
        <FigureRow
          key={path}
          name={words}
          figure={figure}
          guidance={guidance}
          tellValue={(value) => figureWords(tell, value, unit)}
        />
      ))
  return (
    <>
      {profile.hold !== undefined && (
        <BandFigures title={say('In hold')} band={profile.hold} guidance={guidance} />
      )}
      <BandFigures title={say('Awake')} band={profile.active} guidance={guidance}>
        {rows('awake.')}
      </BandFigures>
      {profile.season !== undefined && <FigureList title={say('Its winter')}>{rows('season.')}</FigureList>}
      {profile.mass !== undefined && <FigureList title={say('Mass in hold')}>{rows('mass.')}</FigureList>}
      {profile.mass?.gainIsUsual === true && (
        <p class="hint">{say('A gain in moist soil is no sign of anything.')}</p>
      )}
      {profile.condition.length > 0 && (
        <>
          <h3>{say('Rules of body condition that are valid for it')}</h3>
          <p>{profile.condition.map((rule) => ruleName[rule]).join(', ')}</p>
        </>
      )}
      {profile.notes.length > 0 && (
        <>
          <h3>{say('Notes')}</h3>
          <ul class="figures">
            {profile.notes.map((note) => (
              <li key={note.text} class="figure-note">
                <span>{held(note.text)}</span>
                <span class="figure-source">
                  {note.source} <span class="evidence">{evidenceWord[note.evidence]}</span>
                </span>
              </li>
            ))}
          </ul>
        </>
      )}
    </>
  )
}

function BandFigures({
  title,
  band,
  guidance,
  children,
}: {
  title: string
  band: PhaseBand
  guidance: Guidance
  children?: ComponentChildren
}) {
  const { tell } = usePage()
  return (
    <FigureList title={title}>
      {(['temperature', 'humidity'] as const).flatMap((quantity) =>
        band[quantity].map((limit) => (
          <FigureRow
            key={`${quantity} ${limit.limit}`}
            name={`${limitName[limit.limit]}${quantity === 'humidity' ? ' (humidity)' : ''}`}
            figure={limit}
            guidance={guidance}
            tellValue={(value) => edgeWords(tell, quantity, limit, value)}
            more={say('for {duration}, {priority}', {
              duration: durationWords(limit.for),
              priority: limit.priority,
            })}
          />
        )),
      )}
      {children}
    </FigureList>
  )
}

function FigureList({ title, children }: { title: string; children: ComponentChildren }) {
  return (
    <>
      <h3>{title}</h3>
      <ul class="figures">{children}</ul>
    </>
  )
}

function FigureRow({
  name,
  figure,
  guidance,
  tellValue,
  more,
}: {
  name: string
  figure: Figure
  guidance: Guidance
  tellValue: (value: number) => string
  more?: string
}) {
  const { chosen, other } = bothOf(figure, guidance)
  return (
    <li>
      <span>{name}</span>
      <span>
        <strong>{tellValue(chosen)}</strong>
        {other !== null && (
          <span class="soft">
            {' '}
            ({guidanceWord[other.by]}: {tellValue(other.value)})
          </span>
        )}
        {more !== undefined && <span class="soft"> {more}</span>}
      </span>
      <span class="figure-source">
        {figure.source} <span class="evidence">{evidenceWord[figure.evidence]}</span>
      </span>
    </li>
  )
}
