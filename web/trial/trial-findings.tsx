import type { TrialReport } from '../../schemas/trial-report.ts'
import { durationWords } from '../../shared/telling/words.ts'
import { settling } from '../../shared/thermal/trial-times.ts'
import { usePage } from '../page/use-page.ts'
import { held } from '../words/held.ts'
import { litresWords, trialFacts } from '../words/trial-words.ts'
import { TrialSpots } from './trial-spots.tsx'
import { TrialVerdicts } from './trial-verdicts.tsx'
import { say } from '../../shared/words/say.ts'

/** The report, in the order in which it is read: for whom, what to change, and the figures behind it. */
export function TrialFindings({ report, zone = 'UTC' }: { report: TrialReport; zone?: string | undefined }) {
  const { tell, now } = usePage()
  const facts = trialFacts(report, tell)
  // With its year: paper is found again years later
  const whole = (at: number): string => `${tell.day(at, zone)}, ${tell.clock(at, zone)}`
  return (
    <div class="trial-report">
      <p class="soft">
        {say('{whole} to {part}. Begun by {by}. {litres} {part2}', {
          whole: whole(report.from),
          part: report.isRunning
            ? say('{whole}, and going on', { whole: whole(report.to) })
            : whole(report.to),
          by: report.by,
          litres: litresWords(report.litres, tell),
          part2: held(
            say(
              'Of {duration}, {duration2} count: the first {duration3}, the plug out and cooling back do not.',
              {
                duration: durationWords(report.lasted),
                duration2: durationWords(report.counted),
                duration3: durationWords(settling),
              },
            ),
          ),
        })}
      </p>
      <section class="says" aria-labelledby="trial-fit">
        <h2 id="trial-fit">{say('Fit for whom')}</h2>
        <TrialVerdicts report={report} />
      </section>
      <section class="says" aria-labelledby="trial-change">
        <h2 id="trial-change">{say('What to change')}</h2>
        {report.advice.length === 0 ? (
          <p>{say('Nothing that the figures show.')}</p>
        ) : (
          <ul class="trial-list">
            {report.advice.map(({ says }) => (
              <li key={says}>{held(says)}</li>
            ))}
          </ul>
        )}
      </section>
      <section class="says" aria-labelledby="trial-spots">
        <h2 id="trial-spots">{say('The spots')}</h2>
        <TrialSpots report={report} zone={zone} />
      </section>
      <section class="says" aria-labelledby="trial-facts">
        <h2 id="trial-facts">{say('What else it showed')}</h2>
        <dl class="trial-facts">
          {facts.map(({ name, says }) => (
            <div key={name}>
              <dt>{name}</dt>
              {says.map((sentence) => (
                <dd key={sentence}>{held(sentence)}</dd>
              ))}
            </div>
          ))}
        </dl>
      </section>
      <p class="hint print-only">{say('Printed {whole}.', { whole: whole(now.value) })}</p>
    </div>
  )
}
