import { execFileSync } from 'node:child_process'
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Household } from '../../schemas/household.ts'
import { cannotPack } from '../support/packing-node.ts'
import { bootScratchSystem, noScratchSystem, type ScratchSystem } from '../support/scratch-system.ts'
import { until } from '../support/until.ts'

// Called by whom and when, and what each must leave behind: Debian Policy Manual, chapter 6 (maintainer scripts), 10.7
// (configuration files). Exit codes of the service: sysexits.h.

const builder = new URL('../../daemon/package/build-deb.mjs', import.meta.url).pathname
const missing = cannotPack ?? noScratchSystem()
const older = '0.9.1'
const newer = '0.9.2'

// Each is a few seconds of dpkg and systemd; a machine that does much else takes its time for them.
describe.skipIf(missing !== null)(
  `installed as a Debian package ${missing ?? ''}`,
  { timeout: 90_000 },
  () => {
    let folder: string
    let system: ScratchSystem
    beforeAll(async () => {
      folder = mkdtempSync(join(tmpdir(), 'brumal-packages-'))
      for (const version of [older, newer]) {
        // In memory: thousands of small files, which a slow disk takes its time for.
        const env = { ...process.env, TMPDIR: existsSync('/dev/shm') ? '/dev/shm' : tmpdir() }
        execFileSync(process.execPath, [builder, '--out', folder, '--version', version, '--quick'], { env })
      }
      system = await bootScratchSystem(folder)
    }, 180_000)
    afterAll(async () => {
      await system?.stop()
      rmSync(folder, { recursive: true, force: true })
    })

    /** Runs a shell line in the system. */
    const sh = (line: string) => system.run('sh', '-c', line)
    /** The same, which must go well; gives what it printed. */
    const well = (line: string): string => {
      const { code, out, err } = sh(line)
      if (code !== 0) throw new Error(`${line} ended with ${code}:\n${out}${err}`)
      return out.trim()
    }
    /** The tests may run on another Node than the one that dpkg knows of. */
    const install = (version: string) =>
      sh(`dpkg -i --force-depends /srv/packages/brumal_${version}_$(dpkg --print-architecture).deb`)
    const unit = (property: string): string => well(`systemctl show brumal -P ${property}`)
    const isWatching = (): boolean => unit('ActiveState') === 'active' && unit('StatusText') === 'Watching.'
    const answers = (path: string, options = ''): string =>
      well(`curl -sf ${options} -b /run/jar -c /run/jar http://127.0.0.1:8420${path}`)
    const send = (method: string, path: string, body: object): string =>
      answers(path, `-X ${method} -H 'content-type: application/json' -d '${JSON.stringify(body)}'`)
    const places = () => (JSON.parse(answers('/api/household')) as Household).places.map(({ id }) => id)

    test('it watches at once, as a user of its own, and begins anew with the computer', async () => {
      const { code, out, err } = install(older)
      expect({ code, err }).toMatchObject({ code: 0 })
      expect(out).toMatch(/Brumal watches at http:\/\/\S+:8420 /)
      expect(isWatching()).toBe(true)
      expect(well('systemctl is-enabled brumal')).toBe('enabled')
      expect(well(`ps -o user= -p ${unit('MainPID')}`)).toBe('brumal')
      expect(well('stat -c "%U %G %a" /var/lib/brumal')).toBe('brumal brumal 750')
      expect(well('brumal --version')).toBe(older)
      await until(() => sh('curl -sf http://127.0.0.1:8420/health').code === 0, 'the page')
      expect(JSON.parse(answers('/health'))).toEqual({ status: 'ok', broker: 'up', store: 'ok' })
    })

    test('X4: nobody else reads its settings, where passwords may stand', () => {
      expect(well('stat -c "%U %G %a" /etc/brumal/brumal.yaml')).toBe('root brumal 640')
      const { code, err } = sh('setpriv --reuid=nobody --clear-groups brumal check')
      expect(code).toBe(78)
      expect(err).toContain('/etc/brumal/brumal.yaml')
    })

    test('X1: the set-up code stands in the journal of the system, and the house is set up with it', () => {
      const code = /set-up code\s+([0-9A-Z-]{14})/.exec(well('journalctl -u brumal -o cat'))?.[1]
      send('POST', '/api/set-up', { code, name: 'Ada', password: 'winter sleep well' })
      send('PUT', '/api/places/fridge', { id: 'fridge', name: 'Cellar fridge', kind: 'fridge' })
      expect(places()).toEqual(['fridge'])
    })

    test('N1: what the unit forbids keeps it from no backup: one is made, by a process of its own', () => {
      send('POST', '/api/backups', {})
      expect(well('stat -c "%U %a" /var/lib/brumal/backups/*.db')).toBe('brumal 600')
    })

    test('N1: killed, it is back within seconds', async () => {
      const before = unit('MainPID')
      well('systemctl kill -s KILL brumal')
      await until(() => unit('MainPID') !== before && isWatching(), 'another process, watching', 20_000)
      expect(unit('NRestarts')).toBe('1')
    })

    test('an upgrade that cannot copy everything first does not happen, and the watch is not stopped', () => {
      well('touch /var/lib/brumal/before-upgrade')
      const before = unit('MainPID')
      const { code, err } = install(newer)
      expect(code).not.toBe(0)
      expect(err).toContain('the copy before the upgrade failed, so there is no upgrade; Brumal watches on.')
      expect(isWatching()).toBe(true)
      expect(unit('MainPID')).toBe(before)
      expect(well('brumal --version')).toBe(older)
      well('rm /var/lib/brumal/before-upgrade')
    })

    test('an upgrade copies everything, runs the newer one on the same data, and keeps the settings', async () => {
      well(`printf 'logLevel: info\\n' >>/etc/brumal/brumal.yaml`)
      const { code, out, err } = install(newer)
      expect({ code, err }).toMatchObject({ code: 0 })
      expect(out).toMatch(
        /Backed up to \/var\/lib\/brumal\/before-upgrade\/brumal-\d{8}T\d{6}Z\.db .*whole\./,
      )
      expect(well('stat -c "%U %a" /var/lib/brumal/before-upgrade/*.db')).toBe('brumal 600')
      expect(isWatching()).toBe(true)
      expect(well('brumal --version')).toBe(newer)
      await until(() => sh('curl -sf http://127.0.0.1:8420/health').code === 0, 'the page')
      expect(places()).toEqual(['fridge'])
      expect(well('tail -n 1 /etc/brumal/brumal.yaml')).toBe('logLevel: info')
    })

    test('what the keeper switched off stays off through an upgrade', async () => {
      well('systemctl disable --now brumal')
      expect(install(newer).code).toBe(0)
      expect(unit('ActiveState')).toBe('inactive')
      expect(sh('systemctl is-enabled brumal').out.trim()).toBe('disabled')
      well('systemctl enable --now brumal')
      expect(isWatching()).toBe(true)
    })

    test('bad settings end it with 78, and it is not tried again and again', () => {
      well('echo nonsense: 1 >>/etc/brumal/brumal.yaml')
      expect(sh('systemctl restart brumal').code).not.toBe(0)
      expect([unit('ActiveState'), unit('ExecMainStatus')]).toEqual(['failed', '78'])
      well("sed -i '/^nonsense/d' /etc/brumal/brumal.yaml && systemctl start brumal")
      expect(isWatching()).toBe(true)
    })

    test('removed, it is gone from the system; its data and settings stay, and a new install goes on with them', async () => {
      well('dpkg --remove brumal')
      expect(sh('systemctl is-active brumal').code).not.toBe(0)
      expect(sh('pgrep -u brumal').out).toBe('')
      expect(sh('ls /usr/lib/brumal /usr/bin/brumal').code).not.toBe(0)
      well('test -e /var/lib/brumal/brumal.db && test -e /etc/brumal/brumal.yaml')
      expect(install(newer).code).toBe(0)
      expect(isWatching()).toBe(true)
      await until(() => sh('curl -sf http://127.0.0.1:8420/health').code === 0, 'the page')
      expect(places()).toEqual(['fridge'])
    })

    test('purged, the settings go, and the log of the winters stays all the same', () => {
      expect(well('dpkg --purge brumal')).toContain("Brumal's data stay in /var/lib/brumal.")
      expect(sh('ls /etc/brumal').code).not.toBe(0)
      expect(well('stat -c %U /var/lib/brumal/brumal.db')).toBe('brumal')
    })
  },
)

describe('the unit', () => {
  const text = readFileSync(new URL('../../daemon/package/brumal.service', import.meta.url), 'utf8')
  const values = (key: string): string[] =>
    text.split('\n').flatMap((line) => (line.startsWith(`${key}=`) ? [line.slice(key.length + 1)] : []))

  test('N1: names node itself and lets systemd-notify speak, or the watchdog would end what is well', () => {
    expect(values('ExecStart')[0]).toMatch(/^\/usr\/bin\/node /)
    expect(values('NotifyAccess')).toEqual(['all'])
    expect(values('Type')).toEqual(['notify'])
  })

  test('does not forbid memory that is written and run: Node compiles as it runs', () => {
    expect(values('MemoryDenyWriteExecute')).toEqual([])
  })
})
