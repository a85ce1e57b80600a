import { say } from '../../shared/words/say.ts'
import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'
import { sayWith } from '../parts/say-with.ts'
import { putAway } from './kept-choice.ts'
import { lackWords, partOfLack, stepName } from './step-words.ts'
import { type FirstStepsNow, useFirstSteps } from './use-first-steps.ts'

/** On the screens that the first steps lead to: what is next, and the way there or back. */
export function NextStepLine() {
  const now = useFirstSteps()
  if (now === null) return null
  const done = now.steps.filter((step) => step.isDone).length
  if (putAway.value.value !== null)
    return (
      <p class="aside next-step">
        {say('First steps: {done} of {all} done.', { done, all: now.steps.length })}{' '}
        <button type="button" class="quiet" onClick={() => putAway.keep(null)}>
          {say('Show them on Tonight')}
        </button>
      </p>
    )
  return (
    <p class="aside next-step" role="status">
      {sayWith('First steps: {done} of {all} done. Next: {step}.', {
        done,
        all: now.steps.length,
        step: <strong>{stepName(now.next.name)}</strong>,
      })}{' '}
      <Onward now={now} />
    </p>
  )
}

/** A jump on this screen, a link to the other, or back to Tonight, where the rest is. */
function Onward({ now }: { now: FirstStepsNow }) {
  const { route } = usePage()
  const isSetUp = route.path.value === '/set-up'
  const name = now.next.name
  if (isSetUp && name === 'sensor')
    return (
      <>
        {say('Make the place that it sits in, then claim what is heard.')}{' '}
        <a href="#part-places">{say('Places')}</a> <a href="#part-sources">{say('Heard')}</a>
      </>
    )
  if (isSetUp && name === 'box' && now.lack !== null)
    return (
      <>
        {lackWords(now.lack)} <a href={`#${partOfLack[now.lack]}`}>{say('Go there')}</a>
      </>
    )
  if (isSetUp && (name === 'contact' || name === 'ring'))
    return <Link to="/contacts">{say('Go to Contacts')}</Link>
  if (!isSetUp && name === 'ring') return <>{say('Press Ring it, and say whether it rang.')}</>
  if (!isSetUp && name === 'contact') return null
  return <Link to="/">{say('Back to the first steps')}</Link>
}
