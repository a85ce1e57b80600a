import { type ChildProcess, execFileSync, spawn, spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, readdirSync, readFileSync, realpathSync, rmdirSync } from 'node:fs'
import { until } from './until.ts'

/** This machine, booted once more with a systemd of its own: what is changed in it is gone when it is stopped. */
export interface ScratchSystem {
  /** Runs a command in it as root; never throws. */
  run(...command: readonly string[]): { readonly code: number; readonly out: string; readonly err: string }
  stop(): Promise<void>
}

/**
 * Everything written goes to memory, laid over the machine's own files; the network is one without an outside. The
 * folder `packages` is seen in it as /srv/packages, and /usr/bin/node is the Node of these tests.
 */
export async function bootScratchSystem(packages: string): Promise<ScratchSystem> {
  const groups = makeGroups()
  const node = realpathSync(process.execPath)
  // It joins its groups before it is held apart, so that they are the top of what the inner systemd sees.
  const join = `for group in ${groups.join(' ')}; do echo $$ >"$group/cgroup.procs" || true; done; exec "$@"`
  const booting = ['unshare', ...namespaces, 'bash', '-ec', boot, 'boot', packages, node]
  const held = spawn('bash', ['-c', join, 'join', ...booting], { stdio: ['ignore', 'pipe', 'pipe'] })
  let said = ''
  held.stdout.on('data', (chunk: Buffer) => (said += chunk.toString()))
  held.stderr.on('data', (chunk: Buffer) => (said += chunk.toString()))
  const run: ScratchSystem['run'] = (...command) => {
    const entered = [
      '-t',
      String(firstChild(held)),
      '-a',
      '-r',
      '-w',
      'env',
      '-i',
      ...environment,
      ...command,
    ]
    const { status, stdout, stderr } = spawnSync('nsenter', entered, { encoding: 'utf8', timeout: 60_000 })
    return { code: status ?? 1, out: stdout, err: stderr }
  }
  const stop = async (): Promise<void> => {
    held.kill('SIGKILL')
    await until(() => held.exitCode !== null || held.signalCode !== null, 'the scratch system to end')
    await until(() => removeGroups(groups), 'its control groups to be empty')
  }
  try {
    await until(
      () => {
        if (held.exitCode !== null) throw new Error(`it ended with ${held.exitCode}: ${said}`)
        return /^(?:running|degraded)/.test(run('systemctl', 'is-system-running').out)
      },
      'systemd to be up',
      20_000,
    )
  } catch (cause) {
    await stop()
    throw new Error(`No scratch system: ${said.slice(-500)}`, { cause })
  }
  return { run, stop }
}

/** Why there can be none here; null where there can. With BRUMAL_REQUIRE_PEERS=1 what is missing makes tests fail. */
export function noScratchSystem(): string | null {
  const why = reasonAgainst()
  return why !== null && process.env['BRUMAL_REQUIRE_PEERS'] === '1' && why !== installed ? null : why
}

const installed = 'Brumal is installed on this machine'

function reasonAgainst(): string | null {
  if (process.getuid?.() !== 0) return 'another systemd needs root'
  const needed = [
    '/usr/bin/dpkg-deb',
    '/usr/bin/deb-systemd-helper',
    '/usr/lib/systemd/systemd',
    '/usr/bin/curl',
  ]
  const missing = needed.find((path) => !existsSync(path))
  if (missing !== undefined) return `${missing} is missing`
  if (existsSync('/var/lib/dpkg/info/brumal.list')) return installed
  const groups = makeGroups()
  removeGroups(groups)
  if (groups.length === 0) return 'no control group may be made'
  try {
    execFileSync('unshare', [...namespaces, 'bash', '-ec', layers, 'layers'], { stdio: 'pipe' })
    return null
  } catch {
    return 'no file system may be laid over this one'
  }
}

const namespaces = ['--pid', '--mount', '--uts', '--ipc', '--net', '--cgroup', '--fork', '--kill-child']
const environment = [
  'PATH=/usr/sbin:/usr/bin:/sbin:/bin',
  'LANG=C.UTF-8',
  'DEBIAN_FRONTEND=noninteractive',
  'SYSTEMD_PAGER=cat',
]

/** On /mnt, in a mount namespace that nobody else sees. Memory below, because a layer may not lie on a layer. */
const layers = `
mount -t tmpfs scratch /mnt
mkdir /mnt/upper /mnt/work /mnt/root
mount -t overlay overlay -o lowerdir=/,upperdir=/mnt/upper,workdir=/mnt/work /mnt/root
`

/** What systemd asks of a container: https://systemd.io/CONTAINER_INTERFACE */
const boot = `${layers}
root=/mnt/root
mount -t proc proc $root/proc
mount -t sysfs -o ro sysfs $root/sys
for folder in run tmp sys/fs/cgroup; do mount -t tmpfs tmpfs $root/$folder; done
mount -t tmpfs -o mode=755 tmpfs $root/dev
for name in null zero full random urandom tty; do
  mknod -m 666 $root/dev/$name c $(stat -c '%Hr %Lr' /dev/$name)
done
mkdir $root/dev/shm $root/dev/pts
mount -t tmpfs tmpfs $root/dev/shm
ln -s /proc/self/fd $root/dev/fd
ln -s pts/ptmx $root/dev/ptmx
mkdir -p $root/srv/packages
mount --bind "$1" $root/srv/packages
rm -f $root/usr/sbin/policy-rc.d
[ "$(readlink -f /usr/bin/node)" = "$2" ] || { rm -f $root/usr/bin/node; cp "$2" $root/usr/bin/node; }
cd $root
mkdir before
pivot_root . before
umount --lazy before
exec env -i container=brumal-test PATH=/usr/sbin:/usr/bin:/sbin:/bin /usr/lib/systemd/systemd --unit=basic.target --log-target=console --show-status=0
`

/** PID 1 of the inner system, as it is numbered outside. */
function firstChild(held: ChildProcess): number {
  const pid = held.pid ?? 0
  return Number(readFileSync(`/proc/${pid}/task/${pid}/children`, 'utf8').trim().split(' ')[0])
}

/** A control group of our own in each hierarchy that lets us, below the one that we are in: cgroups(7). */
function makeGroups(): string[] {
  const mounts = readFileSync('/proc/self/mountinfo', 'utf8').split('\n')
  return readFileSync('/proc/self/cgroup', 'utf8')
    .trim()
    .split('\n')
    .flatMap((line) => {
      const [, controllers = '', path = ''] = /^\d+:([^:]*):(.*)$/.exec(line) ?? []
      const mount = mounts.find((text) =>
        controllers === ''
          ? / - cgroup2 /.test(text)
          : new RegExp(` - cgroup .*\\b${controllers}\\b`).test(text),
      )
      const at = mount?.split(' ')[4]
      if (at === undefined) return []
      const group = `${at}${path === '/' ? '' : path}/brumal-test-${process.pid}`
      try {
        mkdirSync(group, { recursive: true })
        return [group]
      } catch {
        return [] // read-only, or not ours: the inner systemd does without, or there is none
      }
    })
}

/** Innermost first; false while something in them still ends. */
function removeGroups(groups: readonly string[]): boolean {
  const below = (folder: string): string[] =>
    readdirSync(folder, { withFileTypes: true })
      .filter((entry) => entry.isDirectory())
      .flatMap((entry) => [...below(`${folder}/${entry.name}`), `${folder}/${entry.name}`])
  try {
    for (const group of groups.filter((path) => existsSync(path)))
      for (const folder of [...below(group), group]) rmdirSync(folder)
    return true
  } catch {
    return false
  }
}
