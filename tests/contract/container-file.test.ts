import { spawn } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { Settings } from '../../schemas/settings.ts'
import { type Daemon, startDaemon } from '../support/daemon.ts'
import { root } from '../support/repository.ts'

// The words of a container file and when its parts count: the published reference of Dockerfile (its name for the same).

const lines = readFileSync(join(root, 'daemon/package/Containerfile'), 'utf8')
  .replaceAll(/^\s*#.*\n/gm, '')
  .replaceAll('\\\n', ' ')
  .split('\n')
const all = (word: string): string[] =>
  lines.flatMap((line) => (line.startsWith(`${word} `) ? [line.slice(word.length + 1).trim()] : []))

describe('the container file', () => {
  test('copies only what there is, and all that the build reads', () => {
    const copied = all('COPY').filter((line) => !line.startsWith('--from'))
    const sources = copied.flatMap((line) => line.split(/\s+/).slice(0, -1))
    expect(sources.filter((path) => !existsSync(join(root, path)))).toEqual([])
    const read = ['daemon', 'schemas', 'shared', 'web', 'tsconfig.json', 'package.json', 'package-lock.json']
    expect(sources).toEqual(expect.arrayContaining(read))
  })

  test('shows the ports that are the default', () => {
    const { http, mqtt } = Settings.parse({})
    expect(all('EXPOSE')).toEqual([`${http.port} ${mqtt.port}`])
  })

  test('runs as a user of its own, to whom the volume belongs before it is one', () => {
    const order = lines.filter((line) => /^(?:FROM|USER|VOLUME|RUN useradd)/.test(line))
    expect(order.at(-3)).toMatch(/install -d -o brumal -g brumal -m 0750 \/data$/)
    expect(order.slice(-2)).toEqual(['USER brumal', 'VOLUME /data'])
  })

  test('gives signals to node itself: no shell stands before it', () => {
    const [entry = ''] = all('ENTRYPOINT')
    expect(JSON.parse(entry)).toEqual(['node', '/usr/lib/brumal/dist/daemon/cli/brumal.js'])
  })
})

describe('N1: its health check', () => {
  let daemon: Daemon
  beforeAll(async () => {
    daemon = await startDaemon()
  })
  afterAll(() => daemon.stop())

  const [, , ...words] = JSON.parse(
    /CMD (\[.*\])$/.exec(all('HEALTHCHECK')[0] ?? '')?.[1] ?? '[]',
  ) as string[]
  const check = (env: NodeJS.ProcessEnv): Promise<number | null> =>
    new Promise((resolve) => {
      const child = spawn(process.execPath, ['-e', ...words], { env: { PATH: process.env['PATH'], ...env } })
      child.on('exit', (code) => resolve(code))
    })

  test('is well where the daemon answers, and not where nothing does', async () => {
    const { port } = new URL(daemon.url)
    expect(await check({ BRUMAL_HTTP_PORT: port })).toBe(0)
    expect(await check({ HEALTH_URL: `${daemon.url}/health` })).toBe(0)
    expect(await check({ HEALTH_URL: `${daemon.url}/no-such-page` })).toBe(1)
    await daemon.kill('SIGTERM')
    expect(await check({ BRUMAL_HTTP_PORT: port })).toBe(1)
  })
})
