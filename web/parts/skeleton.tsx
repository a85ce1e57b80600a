import { say } from '../../shared/words/say.ts'

/** What is about to stand there: a few cards, a list, a strip with its numbers, a form. */
export type SkeletonShape = 'cards' | 'lines' | 'strip' | 'form'

/** How many grey pieces each has; enough to fill a phone, so that nothing below is seen to move. */
const pieces: Record<SkeletonShape, number> = { cards: 4, lines: 6, strip: 3, form: 4 }

/** Keeps the room of what is being fetched, and says so once to those who listen. */
export function Skeleton({ shape }: { shape: SkeletonShape }) {
  return (
    <div class={`skeleton skeleton-${shape}`} role="status">
      <span class="unseen">{say('Being fetched …')}</span>
      {Array.from({ length: pieces[shape] }, (_, i) => (
        <span key={i} class="skeleton-piece" aria-hidden="true" />
      ))}
    </div>
  )
}

/** A screen of which nothing is here yet but its name. It takes no focus: the screen itself will. */
export function WaitingScreen({ title, shape }: { title: string; shape: SkeletonShape }) {
  return (
    <main class="screen">
      <p class="screen-name" aria-hidden="true">
        {title}
      </p>
      <Skeleton shape={shape} />
    </main>
  )
}
