import { afterEach, describe, expect, test } from 'vitest'
import type { Broker } from '../../daemon/ports/broker.ts'
import type { Arrived } from '../support/broker-world.ts'
import { until } from '../support/until.ts'

/** One broker, a device that publishes to it, a reader, and a view of the wire that acknowledgements go over. */
export interface BrokerRig {
  readonly broker: Broker
  readonly arrived: Arrived[]
  readonly texts: () => string[]
  /** The device publishes; resolves when the message is on its way, not when it is acknowledged. */
  readonly send: (topic: string, payload: string, qos: 0 | 1) => void
  /** Message ids acknowledged on behalf of our side, in the order in which they went over the wire. */
  readonly acks: () => number[]
  /** A reader of a topic; what it hears comes into the list as `topic payload`. */
  readonly hear: (topic: string) => Promise<string[]>
  /** How often the broker went down. */
  downs(): number
  close(): Promise<void>
}

/** What every broker promises, whoever runs it. */
export function brokerSuite(name: string, setUp: () => Promise<BrokerRig>): void {
  describe(name, () => {
    let rig: BrokerRig
    let downsExpected = 0

    const begin = async () => {
      downsExpected = 0
      rig = await setUp()
      await until(() => rig.broker.state().name === 'up', 'the broker to be up')
      return rig
    }
    /** One message each way through the broker: whatever was going to be written before it has been. */
    const roundTrip = async () => {
      const topic = `brumal/alarm/echo-${Math.round(performance.now() * 1000)}`
      const heard = await rig.hear(topic)
      await rig.broker.publish(topic, 'there', { retain: false })
      await until(() => heard.length === 1, 'a round trip')
    }

    afterEach(async () => {
      const downs = rig.downs()
      await rig.close()
      expect(downs, 'connections that healed without being asked to').toBe(downsExpected)
    })

    test('is up with a plain sentence and no password in it (X4)', async () => {
      const { broker } = await begin()
      expect(broker.state().sentence).toMatch(/^(Connected to|Listening on) .*\.$/)
      expect(broker.state().sentence).not.toContain('winter-secret')
      expect(broker.state().retryAt).toBeNull()
    })

    test('acknowledges a message only after it is settled', async () => {
      const { arrived, texts, send, acks } = await begin()
      send('brumal/in/fridge', '4.5', 1)
      await until(() => arrived.length === 1, 'the message')
      await roundTrip()
      expect(acks()).toEqual([])

      arrived[0]?.settle(null)
      await until(() => acks().length === 1, 'the acknowledgement')
      expect(texts()).toEqual(['4.5'])
      expect(arrived[0]?.packet).toMatchObject({ topic: 'brumal/in/fridge', qos: 1, retained: false })
    })

    test('has a message sent again that could not be stored, and acknowledges it then', async () => {
      const { broker, arrived, texts, send, acks } = await begin()
      const isExternal = broker.state().kind === 'external'
      send('brumal/in/fridge', '4.5', 1)
      await until(() => arrived.length === 1, 'the message')
      arrived[0]?.settle(new Error('the disk is full'))
      if (isExternal) {
        downsExpected = 1
        expect(broker.state().name).toBe('down')
        expect(broker.state().sentence).toContain('could not be stored')
      }
      await until(() => arrived.length === 2, 'the message again')
      expect(acks()).toEqual([])

      arrived[1]?.settle(null)
      await until(() => acks().length === 1, 'the acknowledgement')
      expect(texts()).toEqual(['4.5', '4.5'])
    })

    test('does not stall when many are settled late, and acknowledges in the order of arrival', async () => {
      const { arrived, texts, send, acks } = await begin()
      const sent = Array.from({ length: 60 }, (_, i) => String(i))
      for (const payload of sent) send('brumal/in/fridge', payload, 1)
      await until(() => arrived.length >= 20, 'a window of messages, none of them settled')
      await roundTrip()
      expect(acks()).toEqual([])

      let settled = 0
      while (settled < sent.length) {
        await until(() => arrived.length > settled, `more messages after ${settled}`)
        const batch = arrived.slice(settled)
        settled += batch.length
        for (const { settle } of batch) settle(null)
      }
      await until(() => acks().length === sent.length, 'all acknowledgements')
      expect(texts()).toEqual(sent)
      expect(acks()).toEqual([...acks()].sort((a, b) => a - b))
      expect(new Set(acks()).size).toBe(sent.length)
    })

    test('hands on QoS 0 and keeps the connection when it cannot be stored: nobody could send it again', async () => {
      const { arrived, send, acks } = await begin()
      send('brumal/in/fridge', 'lost', 0)
      await until(() => arrived.length === 1, 'the message')
      arrived[0]?.settle(new Error('the disk is full'))

      send('brumal/in/fridge', 'next', 1)
      await until(() => arrived.length === 2, 'the next message')
      arrived[1]?.settle(null)
      await until(() => acks().length === 1, 'its acknowledgement')
      expect(arrived.map(({ packet }) => packet.qos)).toEqual([0, 1])
    })

    test('refuses to settle a message twice', async () => {
      const { arrived, send } = await begin()
      send('brumal/in/fridge', '4.5', 1)
      await until(() => arrived.length === 1, 'the message')
      arrived[0]?.settle(null)
      expect(() => arrived[0]?.settle(null)).toThrow('settled twice')
    })

    test('keeps what is published with retain for a reader who comes later', async () => {
      const { broker, hear } = await begin()
      await broker.publish('brumal/alarm/fridge', '{"worst":"high"}', { retain: true })
      await broker.publish('brumal/alarm/attic', Buffer.from('bytes'), { retain: true })
      const heard = await hear('brumal/alarm/+')
      await until(() => heard.length === 2, 'both retained messages')
      expect(heard.sort()).toEqual(['brumal/alarm/attic bytes', 'brumal/alarm/fridge {"worst":"high"}'])
    })

    test('when stopped, settles what is in hand, acknowledges it and then takes nothing new', async () => {
      const { broker, arrived, send, acks } = await begin()
      send('brumal/in/fridge', 'in hand', 1)
      await until(() => arrived.length === 1, 'the message')
      let isStopped = false
      const stopped = broker.stop().then(() => (isStopped = true))
      send('brumal/in/fridge', 'too late', 1)
      await new Promise((resolve) => setTimeout(resolve, 150)) // long enough for it to arrive, were it taken
      expect({ isStopped, count: arrived.length, acks: acks().length }).toEqual({
        isStopped: false,
        count: 1,
        acks: 0,
      })

      arrived[0]?.settle(null)
      await stopped
      await until(() => acks().length === 1, 'the acknowledgement')
      expect(arrived.length).toBe(1)
      expect(broker.state()).toMatchObject({ name: 'down', sentence: 'Stopped.', retryAt: null })
    })

    test('drops what is published while it is stopped, without a complaint', async () => {
      const { broker } = await begin()
      await broker.stop()
      await expect(broker.publish('brumal/status', 'online', { retain: true })).resolves.toBeUndefined()
    })
  })
}
