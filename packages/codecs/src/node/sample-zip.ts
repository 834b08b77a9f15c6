import { crc32, deflateRawSync } from 'node:zlib';

export interface SampleMember {
  readonly name: string;
  readonly bytes: Uint8Array;
  readonly stored?: boolean;
  /** Contradicts the content on purpose. */
  readonly sizeBytes?: number;
  readonly crc32?: number;
  readonly locked?: boolean;
  /** Unix mode, such as a link's. */
  readonly mode?: number;
}

/** For tests: a ZIP archive (APPNOTE 6.3) of members in their order, deflated unless told otherwise. */
export function sampleZip(members: readonly SampleMember[]): Uint8Array {
  const parts: Buffer[] = [];
  const directory: Buffer[] = [];
  let at = 0;
  for (const member of members) {
    const name = Buffer.from(member.name, 'utf8');
    const body = member.stored === true ? Buffer.from(member.bytes) : deflateRawSync(member.bytes);
    const shared = Buffer.alloc(26);
    shared.writeUInt16LE(20, 0);
    shared.writeUInt16LE(0x800 | (member.locked === true ? 1 : 0), 2);
    shared.writeUInt16LE(member.stored === true ? 0 : 8, 4);
    shared.writeUInt32LE(member.crc32 ?? crc32(member.bytes), 10);
    shared.writeUInt32LE(body.length, 14);
    shared.writeUInt32LE(member.sizeBytes ?? member.bytes.length, 18);
    shared.writeUInt16LE(name.length, 22);
    parts.push(Buffer.from([0x50, 0x4b, 3, 4]), shared, name, body);
    const rest = Buffer.alloc(14);
    rest.writeUInt32LE(((member.mode ?? 0o100644) << 16) >>> 0, 6);
    rest.writeUInt32LE(at, 10);
    directory.push(Buffer.from([0x50, 0x4b, 1, 2, 20, 3]), shared, rest, name);
    at += 30 + name.length + body.length;
  }
  const listed = Buffer.concat(directory);
  const end = Buffer.alloc(22);
  end.set([0x50, 0x4b, 5, 6]);
  end.writeUInt16LE(members.length, 8);
  end.writeUInt16LE(members.length, 10);
  end.writeUInt32LE(listed.length, 12);
  end.writeUInt32LE(at, 16);
  return Buffer.concat([...parts, listed, end]);
}
