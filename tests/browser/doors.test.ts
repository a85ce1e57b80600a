import { describe, expect, test } from 'vitest'
import { accessLooks, linkLooks } from '../pictures/door-looks.ts'
import type { Look } from '../pictures/take.ts'
import { goTo } from '../support/go-to.ts'
import { contrastOn, isTooWide, violationsOn } from '../support/look-at.ts'
import type { Scene } from '../support/web-fixture-scene.ts'
import { visits } from '../support/visits.ts'
import { isChromiumHere } from '../support/chromium.ts'

describe.skipIf(!isChromiumHere)('the doors', () => {
  const open = visits()

  describe('an invitation', () => {
    test('says who invites whom as what, takes a password, and leads to Tonight', async () => {
      const { asked, button, complaints, heading, page } = await open('out', '/join#join')
      await heading('Mill Lane invites Cleo as a sitter').waitFor()
      await page.getByLabel('Choose a password').fill('too short')
      await button('Come in').click()
      expect(asked()).not.toContain('/api/join') // ten characters are asked for here already
      await page.getByLabel('Choose a password').fill('a lamp in the attic')
      await button(/^Show/).click()
      expect(await page.getByLabel('Choose a password').getAttribute('type')).toBe('text')
      await button('Come in').click()
      await heading(/^Yes: all five animals/).waitFor()
      expect(new URL(page.url()).pathname + new URL(page.url()).hash).toBe('/')
      expect(complaints).toEqual([])
    })

    test.each(['joined', 'lapsed'])('%s: says so in plain words and leads to the sign-in', async (key) => {
      const { heading, page } = await open('out', `/join#${key}`)
      await heading('This invitation opens nothing').waitFor()
      await page.getByRole('link', { name: 'Sign in' }).click()
      await heading('Sign in').waitFor()
    })

    test('opened in a browser in which somebody is signed in says that they will be signed out', async () => {
      const { page } = await open('safe', '/join#join')
      await page.getByText('This browser is signed in as Robin.').waitFor()
    })
  })

  describe('who may come in, for a keeper', () => {
    test('an invitation’s link is shown once, with how long it lasts', async () => {
      const { button, page, part } = await open('safe', '/set-up')
      await part('People').getByRole('button', { name: 'Invite somebody' }).click()
      const form = page.getByRole('form', { name: 'Invite somebody' })
      await form.getByLabel('Name').fill('Cleo')
      await form.getByRole('button', { name: 'Make the link' }).click()
      const link = page.getByRole('region', { name: 'Invitation link' })
      expect(await link.innerText()).toContain('/join#')
      await page.getByText(/good once, for 7 d more/).waitFor()
      await part('People').getByText('as a sitter, by Robin, for 7 d more').waitFor()
      await button('I have it, hide it').click()
      expect(await page.content()).not.toContain('/join#')
      await button('Withdraw the invitation of Cleo').click()
      await page.getByText('The invitation of Cleo is withdrawn.').waitFor()
    })

    test('a taken name is refused in the daemon’s words, and what was typed stays', async () => {
      const { page, part } = await open('safe', '/set-up')
      await part('People').getByRole('button', { name: 'Invite somebody' }).click()
      const form = page.getByRole('form', { name: 'Invite somebody' })
      await form.getByLabel('Name').fill('Bela')
      await form.getByRole('button', { name: 'Make the link' }).click()
      await form.getByRole('alert').waitFor()
      expect(await form.getByLabel('Name').inputValue()).toBe('Bela')
    })

    test('nobody is removed or given another role without a question; Escape takes it back', async () => {
      const { button, page } = await open('safe', '/set-up')
      await button('Make a keeper of Bela').click()
      await page.getByRole('group', { name: /^As a keeper Bela changes everything/ }).waitFor()
      await page.keyboard.press('Escape')
      expect(await page.getByRole('group', { name: /^As a keeper/ }).count()).toBe(0)
      await expect
        .poll(() => page.evaluate(() => document.activeElement?.textContent))
        .toBe('Make a keeper of Bela')

      await button('Make a keeper of Bela').click()
      await button('Make Bela a keeper').click()
      await page.getByText('Bela is a keeper now.').waitFor()
      await button('Remove Bela').first().click()
      await page.getByRole('group').getByRole('button', { name: 'Remove Bela' }).click()
      await page.getByText('Bela is let in no longer.').waitFor()
      await expect.poll(() => page.evaluate(() => document.activeElement?.textContent)).toBe('People')
      expect(await button('Remove Robin').count()).toBe(0)
    })

    test('a browser is ended by its name; this one is signed out', async () => {
      const { button, heading, page, part } = await open('safe', '/set-up')
      await part('Signed in').getByText('Firefox on Linux').waitFor()
      await button('End curl of Bela').click()
      await page.getByText('curl is signed out.').waitFor()
      await part('Signed in').getByRole('button', { name: 'Sign out' }).click()
      await heading('Sign in').waitFor()
    })

    test('a key for a script is shown once, with a line that uses it', async () => {
      const { button, page } = await open('safe', '/set-up')
      await button('Make a key').click()
      const form = page.getByRole('form', { name: 'Make a key' })
      await form.getByLabel('Name').fill('Shed display')
      await form.getByLabel('It may').selectOption('act')
      await form.getByRole('button', { name: 'Make it' }).click()
      const line = await page.getByRole('region', { name: 'A line that asks with it' }).innerText()
      expect(line).toMatch(
        /^curl -H 'Authorization: Bearer brumal_\w+' http:\/\/127\.0\.0\.1:\d+\/api\/tonight$/,
      )
      await button('I have it, hide it').click()
      expect(await page.content()).not.toContain('brumal_x7')
    })

    test('a device gets its own login, shown once; a name that is there is not taken over (X2)', async () => {
      const { asked, button, page, part } = await open('safe', '/set-up')
      await button('Give a device its own login').click()
      const form = page.getByRole('form', { name: 'Give a device its own login' })
      await form.getByLabel('Device name').fill('top-probe')
      await form.getByRole('button', { name: 'Make the login' }).click()
      await form.getByText(/a device of this name is there/).waitFor()
      expect(asked()).not.toContain('/api/devices/top-probe')
      await form.getByLabel('Device name').fill('no spaces')
      await form.getByRole('button', { name: 'Make the login' }).click()
      await form.getByText('use letters, digits, . _ and -').waitFor()
      await form.getByLabel('Device name').fill('porch-probe')
      await form.getByRole('button', { name: 'Add a topic' }).click()
      await form.getByLabel('Other topic 1').fill('porch/+/state')
      await form.getByRole('button', { name: 'Make the login' }).click()
      expect(await page.getByRole('region', { name: 'Login' }).innerText()).toContain('user: porch-probe')
      await part('Devices').getByText('never seen, also porch/+/state').waitFor()
      await button('I have it, hide it').click()
      expect(await page.content()).not.toContain('k3TqYw')
    })

    test('the shared login is closed only after a question, and opened again without one', async () => {
      const { button, page } = await open('safe', '/set-up')
      const shared = page.getByRole('switch')
      await shared.click()
      await button('Leave it as it is').click()
      expect(await shared.getAttribute('aria-checked')).toBe('true')
      await shared.click()
      await button('Close the shared login').click()
      await page.getByText('Closed: only devices with a login of their own are let in.').waitFor()
      await shared.click()
      await page.getByText(/^Open: any sensor may sign in/).waitFor()
    })

    test('where the house has a broker of its own, logins are said to be made there', async () => {
      const { part } = await open('unsure', '/set-up')
      await part('Devices').getByText('This house has a broker of its own').waitFor()
      expect(await part('Devices').getByRole('button').count()).toBe(0)
    })
  })

  describe('a sitter', () => {
    test('finds on every screen only what a sitter may do (X1)', async () => {
      const { answers, button, heading, page } = await open('sitter', '/')
      await heading(/^No:/).waitFor()
      for (const screen of ['Winter', 'Alarms', 'Contacts', 'Set-up', 'Tonight']) {
        await goTo(page, screen)
        await heading(screen === 'Tonight' ? /^No:/ : screen).waitFor()
        const forbidden =
          /^(?:Change (?!my password)|Remove|Add|Claim|Shelve|Out of service|Take off|Invite|Save|Make|Give|Withdraw)/
        expect.soft(await button(forbidden).allInnerTexts(), screen).toEqual([])
      }
      expect(await button(/^Acknowledge/).count()).toBeGreaterThan(0)
      expect(answers.filter((answer) => answer.status() >= 400).map((answer) => answer.url())).toEqual([])
    })

    test('in a house with nothing in it is told to wait for a keeper, and is offered no practice', async () => {
      const { answers, button, heading, page } = await open('sitterEmpty', '/')
      await page.getByText('Once a keeper has set up a place, it stands here.').waitFor()
      expect(await button(/practice|invented/i).count()).toBe(0)
      await goTo(page, 'Winter')
      await heading('Winter').waitFor()
      expect(answers.filter((answer) => answer.status() >= 400).map((answer) => answer.url())).toEqual([])
    })

    test('changes their own password and ends their own browsers in Set-up', async () => {
      const { button, page, part } = await open('sitter', '/set-up')
      await button('Change my password').click()
      const form = page.getByRole('form', { name: 'Change my password' })
      await form.getByLabel('Password until now').fill('wrong')
      await form.getByLabel('New password').fill('a lamp in the attic')
      await form.getByRole('button', { name: 'Change it' }).click()
      await form.getByText('That is not your password until now.').waitFor()
      await form.getByLabel('Password until now').fill('the one before')
      await form.getByRole('button', { name: 'Change it' }).click()
      await page.getByText('Changed. Every other browser of yours is signed out.').waitFor()
      expect(await page.content()).not.toContain('a lamp in the attic')
      await part('Signed in').getByText('this one').waitFor()
      expect(await part('Signed in').getByRole('listitem').count()).toBe(1)
    })
  })

  test.each([
    [360, 'light'],
    [1280, 'dark'],
  ] as const)(
    'axe finds nothing wrong with any door at %i px, %s, and none is wider than its window (WCAG 2.2 AA)',
    { timeout: 120_000 },
    async (width, light) => {
      const doors: readonly [Scene, readonly Look[]][] = [
        ['out', linkLooks()],
        ['safe', accessLooks()],
        ['sitter', [{ name: 'set-up', path: '/set-up' }]],
      ]
      for (const [scene, looks] of doors) {
        const { page, context, fixture, complaints, close } = await open(scene, '/', width)
        await page.emulateMedia({ colorScheme: light })
        for (const look of looks) {
          await page.goto('about:blank')
          await page.goto(fixture.url + look.path)
          await page.getByRole('heading', { level: 1 }).waitFor()
          await look.before?.(page)
          expect.soft(await (light === 'dark' ? contrastOn : violationsOn)(page), look.name).toEqual([])
          expect.soft(await isTooWide(page), `${look.name} is too wide`).toBe(false)
          await context.setOffline(false)
        }
        expect(complaints).toEqual([])
        await close()
      }
    },
  )
})
