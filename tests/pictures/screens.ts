import * as routes from '../../web/page/route.ts'
import { notingName } from '../../web/words/diary-words.ts'
import { readText } from '../support/repository.ts'

export interface PicturedScreen {
  readonly name: string
  readonly path: string
}

/**
 * Every screen behind the sign-in, found where the page itself finds them: fixed paths among the cases of its switch,
 * the others as the `pathOf…` of its routes. A route that has no example here is a mistake and not a gap.
 */
export function everyScreen(): PicturedScreen[] {
  const fixed = [...readText('web/app.tsx').matchAll(/case '(\/[^']*)'/g)].map(([, path]) => path ?? '')
  const unknown = Object.keys(routes).filter((name) => name.startsWith('pathOf') && !(name in examples))
  if (unknown.length > 0)
    throw new Error(`tests/pictures/screens.ts has no example of ${unknown.join(', ')}.`)
  return [
    { name: 'tonight', path: '/' },
    ...fixed.map((path) => ({ name: path.slice(1).replaceAll('/', '-'), path })),
    ...Object.values(examples).flat(),
  ]
}

/** What is seen before anybody has signed in. */
export const shutScreens: readonly PicturedScreen[] = [
  { name: 'sign-in', path: '/' },
  { name: 'answer-of-no-link', path: '/answer' },
  { name: 'join-by-no-link', path: '/join' },
]

/** By a route's name in `web/page/route.ts`: what of the practice household it leads to. */
const examples: Readonly<Record<string, readonly PicturedScreen[]>> = {
  pathOfPlace: [
    { name: 'place-fridge', path: routes.pathOfPlace('cellar-fridge') },
    { name: 'place-box', path: routes.pathOfPlace('marsh-box') },
    { name: 'place-enclosure', path: routes.pathOfPlace('warm-enclosure') },
    { name: 'place-culture', path: routes.pathOfPlace('cricket-tub') },
    { name: 'place-room', path: routes.pathOfPlace('cellar') },
  ],
  pathOfTrial: [{ name: 'trial', path: routes.pathOfTrial('cellar-fridge') }],
  pathOfCheck: [{ name: 'check', path: routes.pathOfCheck('cellar-fridge-air') }],
  pathOfAnimal: [
    { name: 'animal-down', path: routes.pathOfAnimal('bramble') },
    { name: 'animal-draft', path: routes.pathOfAnimal('fennel') },
    { name: 'animal-awake', path: routes.pathOfAnimal('amber') },
  ],
  pathOfNoting: Object.keys(notingName).map((kind) => ({
    name: `note-${kind}`,
    path: routes.pathOfNoting('bramble', kind),
  })),
  pathOfWinter: [{ name: 'winter-fridge', path: routes.pathOfWinter('cellar-fridge') }],
  pathOfNight: [{ name: 'winter-night', path: routes.pathOfNight('cellar-fridge', '2027-01-10') }],
  pathOfReport: [{ name: 'report', path: routes.pathOfReport('bramble') }],
}
