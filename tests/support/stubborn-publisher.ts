import { connect, type MqttClient } from 'mqtt'
import { type Daemon, senml } from './daemon.ts'
import { type Made, nameOf, topicOfWave, waveSensors, type Waves } from './waves.ts'

/** More than the twenty that a broker keeps in flight by default, so that a kill always finds several in hand. */
const mostInFlight = 60
const retryMs = 15

/** One device: publishes what its sensor measured with QoS 1, and after every break sends again what was not acknowledged. */
export interface StubbornPublisher {
  isConnected(): boolean
  /** Sent on the connection that is open, and not acknowledged. */
  inFlight(): number
  /** Names of the readings that were acknowledged on any connection. */
  readonly acknowledged: ReadonlySet<string>
  /** How often a reading was sent that had been sent before. */
  resent(): number
  /** Sends what is new. */
  pump(): void
  stop(): Promise<void>
}

interface Login {
  readonly username?: string
  readonly password?: string
}

/** One publisher for each sensor of the waves. */
export const publishersOf = (waves: Waves, port: () => number, login: Login): readonly StubbornPublisher[] =>
  waveSensors.map((sensor) =>
    stubbornPublisher({ clientId: sensor, port, login, readings: waves.made.get(sensor) ?? [] }),
  )

/** The login that Set-up shows for devices. */
export async function loginOf(daemon: Daemon): Promise<Login> {
  const { user, password } = await daemon.connection()
  return user === null || password === null ? {} : { username: user, password }
}

/** `readings` may grow; `port` is asked at each try. */
function stubbornPublisher(world: {
  readonly clientId: string
  readonly port: () => number
  readonly login: Login
  readonly readings: readonly Made[]
}): StubbornPublisher {
  const { readings } = world
  const acknowledged = new Set<string>()
  let client: MqttClient | null = null
  let inFlight = 0
  let next = 0
  let sentUpTo = 0
  let resent = 0
  let isStopped = false
  let retry: NodeJS.Timeout | undefined

  function attempt(): void {
    const mine = connect(`mqtt://127.0.0.1:${world.port()}`, {
      ...world.login,
      clientId: world.clientId,
      protocolVersion: 4,
      clean: true,
      reconnectPeriod: 0, // a new client for each connection: what is sent again is then counted here
      connectTimeout: 5000,
    })
    mine.on('connect', () => {
      client = mine
      inFlight = 0
      const first = readings.findIndex((reading) => !acknowledged.has(nameOf(reading)))
      next = first === -1 ? readings.length : first
      pump()
    })
    mine.on('error', () => {}) // 'close' follows
    mine.on('close', () => {
      if (client === mine) client = null
      inFlight = 0
      mine.end(true)
      if (!isStopped) retry = setTimeout(attempt, retryMs)
    })
  }

  function pump(): void {
    const mine = client
    for (; mine !== null && inFlight < mostInFlight && next < readings.length; next++) {
      const reading = readings[next] as Made
      const name = nameOf(reading)
      if (acknowledged.has(name)) continue
      const isRepeat = next < sentUpTo
      if (isRepeat) resent += 1
      else sentUpTo = next + 1
      inFlight += 1
      const message = senml(reading.value, reading.at)
      mine.publish(topicOfWave(reading.sensor), message, { qos: 1, dup: isRepeat }, (error) => {
        if (error) return // the connection broke: nobody acknowledged it
        acknowledged.add(name)
        if (client !== mine) return
        inFlight -= 1
        pump()
      })
    }
  }

  attempt()
  return {
    isConnected: () => client !== null,
    inFlight: () => inFlight,
    acknowledged,
    resent: () => resent,
    pump,
    async stop() {
      isStopped = true
      clearTimeout(retry)
      await client?.endAsync(true)
    },
  }
}
