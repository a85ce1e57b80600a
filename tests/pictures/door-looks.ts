import type { Page } from 'playwright-core'
import type { Look } from './take.ts'

/** What opens by a link, for whoever is not signed in. */
export function linkLooks(): Look[] {
  const press = async (page: Page): Promise<void> => {
    await openFresh(page)
    await page.getByRole('button', { name: 'I have seen it and will see to it' }).click()
    await page.getByText(/^Noted/).waitFor()
  }
  return [
    { name: 'answer', path: '/answer#cold' },
    { name: 'answer-taken', path: '/answer?now#taken' },
    { name: 'answer-over', path: '/answer#over' },
    { name: 'answer-earlier', path: '/answer#earlier' },
    { name: 'answer-old', path: '/answer#old' },
    { name: 'answer-bad', path: '/answer#nonsense' },
    { name: 'answer-ring', path: '/answer#ring' },
    { name: 'answer-rang', path: '/answer?now#ring' },
    { name: 'answer-lost', path: '/answer#cold', before: pressInVain },
    { name: 'answer-pressed', path: '/answer#cold', before: press },
    {
      name: 'answer-opening',
      path: '/answer#cold',
      before: async (page) => {
        await press(page)
        await page.getByRole('button', { name: '15 min' }).click()
        await page.getByText('Shelve it for a while').click()
      },
    },
    { name: 'join', path: '/join#join' },
    { name: 'join-used', path: '/join#joined' },
    { name: 'join-lapsed', path: '/join#lapsed' },
  ]
}

let fresh = 0

/** A link that nobody has answered yet. */
async function openFresh(page: Page): Promise<void> {
  const { origin } = new URL(page.url())
  fresh += 1
  await page.goto('about:blank') // else only what is behind the # would change
  await page.goto(`${origin}/answer#cold-${fresh}`)
}

/** Presses without a network, and leaves the page as it is then. */
async function pressInVain(page: Page): Promise<void> {
  await openFresh(page)
  await page.getByRole('heading', { level: 1 }).waitFor()
  await page.context().setOffline(true)
  await page.getByRole('button', { name: 'I have seen it and will see to it' }).click()
  await page.getByRole('alert').waitFor()
}

/** Set-up's doors, with everything open that opens. */
export function accessLooks(): Look[] {
  const within = (page: Page, part: string) => page.getByRole('region', { name: part })
  return [
    {
      name: 'doors-forms',
      path: '/set-up',
      before: async (page) => {
        await within(page, 'People').getByRole('button', { name: 'Invite somebody' }).click()
        await within(page, 'People').getByRole('button', { name: 'Remove Bela' }).click()
        await within(page, 'Keys for scripts').getByRole('button', { name: 'Make a key' }).click()
        await within(page, 'My password').getByRole('button', { name: 'Change my password' }).click()
        await within(page, 'Devices').getByRole('button', { name: 'Give a device its own login' }).click()
        await within(page, 'Devices').getByRole('button', { name: 'Add a topic' }).click()
        await within(page, 'Devices').getByRole('switch').click()
      },
    },
    {
      name: 'doors-once',
      path: '/set-up',
      before: async (page) => {
        await within(page, 'People').getByRole('button', { name: 'Invite somebody' }).click()
        const invite = page.getByRole('form', { name: 'Invite somebody' })
        await invite.getByLabel('Name').fill('Cleo')
        await invite.getByRole('button', { name: 'Make the link' }).click()
        await within(page, 'Keys for scripts').getByRole('button', { name: 'Make a key' }).click()
        const key = page.getByRole('form', { name: 'Make a key' })
        await key.getByLabel('Name').fill('Shed display')
        await key.getByRole('button', { name: 'Make it' }).click()
        await page.getByRole('button', { name: 'New password for cellar-meter' }).click()
        await page.getByRole('button', { name: 'Make a new password' }).click()
        await page.getByText('The login of cellar-meter').waitFor()
      },
    },
  ]
}
