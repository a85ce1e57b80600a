import type { TrialReport } from '../../schemas/trial-report.ts'
import { usePage } from '../page/use-page.ts'
import { held } from '../words/held.ts'
import { heldSentences, verdictWord } from '../words/trial-words.ts'
import { unitTyped } from '../words/typed-figure.ts'
import { say } from '../../shared/words/say.ts'

/** For each species whether it may be held cold here, and why. */
export function TrialVerdicts({ report }: { report: TrialReport }) {
  const { tell } = usePage()
  return (
    <>
      {report.species.map(({ species, common, latin, verdict, reasons, limits, held: lasts }) => (
        <article key={species} class="trial-species" aria-labelledby={`fit-${species}`}>
          <h3 id={`fit-${species}`}>
            {common} <i class="soft">{latin}</i>
          </h3>
          <p class={`trial-verdict trial-${verdict}`}>{verdictWord[verdict]}</p>
          <ul class="trial-list">
            {[...reasons, ...heldSentences(lasts, tell)].map((reason) => (
              <li key={reason}>{held(reason)}</li>
            ))}
          </ul>
          {limits.length > 0 && (
            <p class="hint">
              {say('Its limits in hold: {limits} {unit}, dangerous cold to dangerous warmth.', {
                limits: held(limits.map(({ value }) => tell.figure(value, 'temperature')).join(' · ')),
                unit: unitTyped('temperature'),
              })}
            </p>
          )}
        </article>
      ))}
      <p class="hint">
        {report.isGuarded
          ? say('Dangerous cold and warmth are judged with what the sensor may be off taken away.')
          : say('Limits near freezing are taken as they stand, without what the sensor may be off.')}
      </p>
    </>
  )
}
