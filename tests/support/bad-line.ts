import { connect, createServer, type Server, type Socket } from 'node:net';

export interface BadLineOptions {
  /** Both ways, all connections together. */
  readonly bitsPerSecond: number;
  /** Every connection is dropped when so many bytes have gone up since the last cut, or so many milliseconds have passed. */
  readonly cutEveryBytes?: number;
  readonly cutEveryMs?: number;
}

const SLICE_BYTES = 4096;

/**
 * A line between a browser and a server on this machine that is slow and drops every TCP connection now and then. What it
 * has taken from one side and not given to the other is lost with the connection, as on a real one.
 */
export class BadLine {
  private server: Server | null = null;
  private readonly open = new Set<() => void>();
  private readonly ready = { up: 0, down: 0 };
  private timer: ReturnType<typeof setInterval> | null = null;
  private sinceCut = 0;
  url = '';
  /** Bytes given to the server, whatever they were part of. */
  upBytes = 0;
  downBytes = 0;
  cuts = 0;

  constructor(
    private readonly to: { readonly host: string; readonly port: number },
    private readonly options: BadLineOptions,
  ) {}

  async start(): Promise<void> {
    const server = createServer((client) => this.join(client));
    this.server = server;
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
    this.url = `http://127.0.0.1:${(server.address() as { port: number }).port}`;
  }

  /** From now on it drops connections. */
  beginCutting(): void {
    this.sinceCut = 0;
    if (this.options.cutEveryMs) this.timer ??= setInterval(() => this.cut(), this.options.cutEveryMs);
    this.cutting = true;
  }
  endCutting(): void {
    if (this.timer) clearInterval(this.timer);
    this.timer = null;
    this.cutting = false;
  }
  private cutting = false;

  cut(): void {
    this.cuts += 1;
    this.sinceCut = 0;
    for (const drop of this.open) drop();
    this.open.clear();
  }

  async stop(): Promise<void> {
    this.endCutting();
    const closed = new Promise<void>((resolve) => this.server?.close(() => resolve()));
    this.cut();
    await closed;
  }

  private join(client: Socket): void {
    const server = connect(this.to);
    const drop = () => {
      client.resetAndDestroy();
      server.resetAndDestroy();
    };
    this.open.add(drop);
    for (const socket of [client, server]) {
      socket.setNoDelay(true);
      socket.on('error', () => undefined);
      socket.on('close', () => {
        this.open.delete(drop);
        (socket === client ? server : client).destroy();
      });
    }
    void this.carry(client, server, 'up');
    void this.carry(server, client, 'down');
  }

  /** One direction of one connection, slice by slice: connections take turns. */
  private async carry(from: Socket, to: Socket, way: 'up' | 'down'): Promise<void> {
    try {
      for await (const piece of from as AsyncIterable<Buffer>)
        for (let at = 0; at < piece.length; at += SLICE_BYTES) {
          const slice = piece.subarray(at, at + SLICE_BYTES);
          await this.turn(way, slice.length);
          if (to.destroyed) return;
          to.write(slice);
          this.count(way, slice.length);
        }
      to.end();
    } catch {
      // A dropped connection ends both ways.
    }
  }

  private async turn(way: 'up' | 'down', bytes: number): Promise<void> {
    const now = performance.now();
    const at = Math.max(now, this.ready[way]);
    this.ready[way] = at + (bytes * 8000) / this.options.bitsPerSecond;
    if (this.ready[way] > now + 1) await new Promise((resolve) => setTimeout(resolve, this.ready[way] - now));
  }

  private count(way: 'up' | 'down', bytes: number): void {
    if (way === 'down') {
      this.downBytes += bytes;
      return;
    }
    this.upBytes += bytes;
    this.sinceCut += bytes;
    const { cutEveryBytes } = this.options;
    if (this.cutting && cutEveryBytes && this.sinceCut >= cutEveryBytes) this.cut();
  }
}
