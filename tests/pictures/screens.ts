import { appPaths } from '../../daemon/http/web-pages.ts'
import { notedKinds } from '../../web/words/diary-words.ts'

export interface PicturedScreen {
  readonly name: string
  readonly path: string
}

/**
 * Every screen behind the sign-in, from the one list of paths that Brumal answers with the page: a screen that is missing
 * there cannot be opened. A parameter without examples here is a mistake and not a gap.
 */
export const everyScreen = (): PicturedScreen[] =>
  appPaths.filter((path) => !shutPaths.includes(path) && !sameAsAnother.includes(path)).flatMap(filledIn)

/** What is seen before anybody has signed in. */
export const shutScreens: readonly PicturedScreen[] = [
  { name: 'sign-in', path: '/' },
  { name: 'answer-of-no-link', path: '/answer' },
  { name: 'join-by-no-link', path: '/join' },
]

const shutPaths: readonly string[] = ['/sign-in', '/answer', '/join']

/** Older or longer paths of a screen that has another. */
const sameAsAnother: readonly string[] = ['/tonight', '/winter/:place', '/winter/:place/:date']

/** Of the practice household: by parameter what it may be, the first one standing for all where a path says more behind it. */
const examples: Readonly<Record<string, readonly string[]>> = {
  place: ['cellar-fridge', 'marsh-box', 'warm-enclosure', 'cricket-tub', 'cellar'],
  sensor: ['cellar-fridge-air'],
  animal: ['bramble', 'fennel', 'amber'],
  kind: notedKinds,
}

/** `/animals/:animal` as a path and a name for each example animal. */
function filledIn(pattern: string): PicturedScreen[] {
  const parts = pattern.split('/').slice(1)
  const last = parts.length - 1
  let paths: readonly string[][] = [[]]
  parts.forEach((part, i) => {
    const known = part.startsWith(':') ? examples[part.slice(1)] : [part]
    if (known === undefined)
      throw new Error(`tests/pictures/screens.ts has no example of ${part} in ${pattern}.`)
    paths = paths.flatMap((path) => (i === last ? known : known.slice(0, 1)).map((one) => [...path, one]))
  })
  return paths.map((path) => ({ name: path.join('-') || 'tonight', path: `/${path.join('/')}` }))
}
