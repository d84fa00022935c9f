import { BlockList, isIP } from 'node:net'

/** Special-purpose addresses of IPv4 (RFC 6890 and the IANA registry): nothing of the open Internet. */
const RESERVED_V4: readonly (readonly [string, number])[] = [
  ['0.0.0.0', 8],
  ['10.0.0.0', 8],
  ['100.64.0.0', 10],
  ['127.0.0.0', 8],
  ['169.254.0.0', 16],
  ['172.16.0.0', 12],
  ['192.0.0.0', 24],
  ['192.0.2.0', 24],
  ['192.88.99.0', 24],
  ['192.168.0.0', 16],
  ['198.18.0.0', 15],
  ['198.51.100.0', 24],
  ['203.0.113.0', 24],
  ['224.0.0.0', 4],
  ['240.0.0.0', 4],
]
/** Within the global unicast range, what leads elsewhere: tunnels to IPv4, documentation. */
const RESERVED_V6: readonly (readonly [string, number])[] = [
  ['2001::', 23],
  ['2001:db8::', 32],
  ['2002::', 16],
  ['3fff::', 20],
]

const reserved = new BlockList()
for (const [net, prefix] of RESERVED_V4) reserved.addSubnet(net, prefix, 'ipv4')
for (const [net, prefix] of RESERVED_V6) reserved.addSubnet(net, prefix, 'ipv6')
/** All that is given out on the open Internet; loopback, link-local, private and mapped IPv4 lie outside. */
const global = new BlockList()
global.addSubnet('2000::', 3, 'ipv6')

/** Is it an address of the open Internet, not one of a machine or network of our own? */
export function isPublicAddress(address: string): boolean {
  switch (isIP(address)) {
    case 4:
      return !reserved.check(address, 'ipv4')
    case 6:
      return global.check(address, 'ipv6') && !reserved.check(address, 'ipv6')
    default:
      return false
  }
}
