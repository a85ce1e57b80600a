import type { ComponentChildren } from 'preact'
import { useEffect } from 'preact/hooks'
import type { Problem } from '../../schemas/api.ts'
import { cautions } from '../../shared/telling/first-thing.ts'
import { sentenceOf } from '../page/ask.ts'
import { AlarmAnswer } from './alarm-answer.tsx'
import type { Answering } from './answering.ts'
import { RingAnswer } from './ring-answer.tsx'

/** The page behind a message's link: read at a glance, answered with one thumb. */
export function AnswerPage({ answering }: { answering: Answering }) {
  const seen = answering.seen.value
  const refusal = answering.refusal.value
  return (
    <>
      <header class="top answer-top">
        <p class="wordmark">
          Brumal <span class="soft">{seen?.household}</span>
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
      heading={problem.code === 'oldLink' ? 'This link opens nothing any more' : 'This link opens nothing'}
    >
      <p class="lead">{sentenceOf(problem)}</p>
      <p class="lead">
        {problem.code === 'oldLink'
          ? 'Each message has a link of its own, good for a day: take the newest.'
          : 'Some programs cut long links: open the message itself and touch the link there.'}{' '}
        The dashboard shows how things stand and takes the same answers.
      </p>
      <a class="button strong" href="/">
        Open the dashboard
      </a>
    </Told>
  )
}

function Unseen({ answering }: { answering: Answering }) {
  const trouble = answering.trouble.value
  if (trouble === null) return <p class="soft">Asking Brumal …</p>
  return (
    <Told heading="Brumal does not answer">
      <div class="answer-lost" role="alert">
        <p>{sentenceOf(trouble.problem)}</p>
        <p>
          {trouble.isPress
            ? 'Nobody knows yet that you have seen it.'
            : 'What this message was about cannot be shown.'}{' '}
          Go and look at the animals, and try again.
        </p>
      </div>
      <button type="button" class="strong answer-press" onClick={() => void answering.again()}>
        Try again
      </button>
      <p class="hint">
        While this page is open it tries by itself, too. At home, be in the house's own network.
      </p>
    </Told>
  )
}

function Told({ heading, children }: { heading: string; children: ComponentChildren }) {
  useEffect(() => {
    document.title = `${heading} · Brumal`
  }, [heading])
  return (
    <>
      <h1>{heading}</h1>
      {children}
    </>
  )
}
