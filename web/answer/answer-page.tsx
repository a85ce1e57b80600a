import type { ComponentChildren } from 'preact'
import { useEffect } from 'preact/hooks'
import type { Problem } from '../../schemas/api.ts'
import { cautions } from '../../shared/telling/first-thing.ts'
import { sentenceOf } from '../page/ask.ts'
import { AlarmAnswer } from './alarm-answer.tsx'
import type { Answering } from './answering.ts'
import { RingAnswer } from './ring-answer.tsx'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** The page behind a message's link: read at a glance, answered with one thumb. */
export function AnswerPage({ answering }: { answering: Answering }) {
  const seen = answering.seen.value
  const refusal = answering.refusal.value
  return (
    <>
      <header class="top answer-top">
        <p class="wordmark">
          {sayWith('Brumal {soft}', { soft: <span class="soft">{seen?.household}</span> })}
        </p>
      </header>
      <main class="screen answer-page">
        {refusal !== null ? (
          <Refused problem={refusal} />
        ) : seen === null ? (
          <Unseen answering={answering} />
        ) : seen.purpose === 'ring' || seen.alarm === null ? (
          <RingAnswer answering={answering} seen={seen} />
        ) : (
          <AlarmAnswer answering={answering} seen={seen} alarm={seen.alarm} />
        )}
        <p class="caution">{cautions}</p>
      </main>
    </>
  )
}

function Refused({ problem }: { problem: Problem }) {
  return (
    <Told
      heading={
        problem.code === 'oldLink' ? say('This link opens nothing any more') : say('This link opens nothing')
      }
    >
      <p class="lead">{sentenceOf(problem)}</p>
      <p class="lead">
        {say('{part} The dashboard shows how things stand and takes the same answers.', {
          part:
            problem.code === 'oldLink'
              ? say('Each message has a link of its own, good for a day: take the newest.')
              : say('Some programs cut long links: open the message itself and touch the link there.'),
        })}
      </p>
      <a class="button strong" href="/">
        {say('Open the dashboard')}
      </a>
    </Told>
  )
}

function Unseen({ answering }: { answering: Answering }) {
  const trouble = answering.trouble.value
  if (trouble === null) return <p class="soft">{say('Asking Brumal …')}</p>
  return (
    <Told heading={say('Brumal does not answer')}>
      <div class="answer-lost" role="alert">
        <p>{sentenceOf(trouble.problem)}</p>
        <p>
          {say('{part} Go and look at the animals, and try again.', {
            part: trouble.isPress
              ? say('Nobody knows yet that you have seen it.')
              : say('What this message was about cannot be shown.'),
          })}
        </p>
      </div>
      <button type="button" class="strong answer-press" onClick={() => void answering.again()}>
        {say('Try again')}
      </button>
      <p class="hint">
        {say("While this page is open it tries by itself, too. At home, be in the house's own network.")}
      </p>
    </Told>
  )
}

function Told({ heading, children }: { heading: string; children: ComponentChildren }) {
  useEffect(() => {
    document.title = say('{heading} · Brumal', { heading })
  }, [heading])
  return (
    <>
      <h1>{heading}</h1>
      {children}
    </>
  )
}
