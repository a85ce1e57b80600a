import { say } from '../shared/words/say.ts'
import { speakChosen } from './page/language.ts'

const app = document.getElementById('app')
if (app === null) throw new Error('the page has no place to draw in')

// The words first: what is loaded after them is made of them
void speakChosen()
  .then(screens)
  .then(
    (begin) => begin(app),
    () => sayMissing(app),
  )

/** The link in a message opens one small page: at three in the morning nobody waits for the dashboard's code. */
async function screens(): Promise<(place: HTMLElement) => void> {
  return location.pathname === '/answer'
    ? (await import('./answer/begin.tsx')).beginAnswer
    : (await import('./dashboard.tsx')).beginDashboard
}

/** The network went away between the page and its code, or Brumal was renewed in between. Nothing is here to draw with. */
function sayMissing(place: HTMLElement): void {
  const main = document.createElement('main')
  main.className = 'screen'
  const heading = document.createElement('h1')
  heading.textContent = say('This page could not be fetched')
  const lead = document.createElement('p')
  lead.className = 'lead'
  lead.textContent = say('The network or Brumal went away while it was loading.')
  const again = document.createElement('button')
  again.className = 'strong'
  again.textContent = say('Load it again')
  again.addEventListener('click', () => location.reload())
  main.append(heading, lead, again)
  place.replaceChildren(main)
}
