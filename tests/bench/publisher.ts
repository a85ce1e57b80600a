/** Publishes N SenML readings (about 66 bytes) of twenty probes at QoS 1, many in flight; says when all are acknowledged. */
import mqtt from 'mqtt'

const [url = '', count = '0', connections = '1'] = process.argv.slice(2)
const wanted = Number(count)
const start = Math.floor(Date.now() / 1000) - 86_400
const clients = await Promise.all(
  Array.from({ length: Number(connections) }, () => mqtt.connectAsync(url, { protocolVersion: 4 })),
)
const inFlight = 500

const began = performance.now()
await Promise.all(
  clients.map(async (client, c) => {
    let acknowledged = 0
    let next = c
    await new Promise<void>((resolve, reject) => {
      const mine = Math.ceil((wanted - c) / clients.length)
      const send = () => {
        const n = next
        if (n >= wanted) return
        next += clients.length
        const probe = n % 20
        const at = start + Math.floor(n / 20)
        // A sixteenth up and down, as a real probe shows; each reading has an instant of its own.
        const payload = `[{"n":"temperature","u":"Cel","t":${at},"v":${5 + ((n * 7) % 3) / 16}}]`
        client.publish(`brumal/in/probe-${probe}`, payload, { qos: 1 }, (error) => {
          if (error) return reject(error)
          acknowledged += 1
          if (acknowledged === mine) resolve()
          else send()
        })
      }
      for (let i = 0; i < inFlight; i++) send()
    })
  }),
)
process.send?.({ done: performance.now() - began })
for (const client of clients) await client.endAsync()
