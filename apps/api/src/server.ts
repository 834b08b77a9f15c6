import type { AddressInfo } from 'node:net';
import { buildApp } from './app';
import { settleLeftovers } from './features/arrivals';
import { type Config, usesTls } from './platform/config/config';
import { loadCertificate, networkAddresses } from './platform/http/tls';
import { makeServices } from './platform/make-services';

/** Listens until told to stop; arrivals that a crash left half settled are settled first. */
export async function startServer(config: Config, databaseUrl: string, portal: string | null) {
  const services = makeServices(config, databaseUrl, 'chordae_app', 'api');
  const tls = usesTls(config) ? await loadCertificate(config, services.clock.now()) : null;
  const app = await buildApp({ services, portal, tls });
  const settled = await settleLeftovers(services);
  if (settled > 0) services.log.info({ settled }, 'arrivals settled after a restart');
  await app.listen({ host: config.HOST, port: config.PORT });
  const { port } = app.server.address() as AddressInfo;
  const scheme = tls ? 'https' : 'http';
  const everywhere = config.HOST === '0.0.0.0' || config.HOST === '::';
  return {
    /** Where other devices of the network find it; empty while it listens on this machine only. */
    elsewhere: everywhere ? networkAddresses().map((a) => `${scheme}://${a}:${port}`) : [],
    /** SHA-256 of a certificate of its own making, to be compared on a device before it is trusted. */
    fingerprint: tls?.fingerprint ?? null,
    url: `${scheme}://${config.HOST.includes(':') ? `[${config.HOST}]` : config.HOST}:${port}`,
    async stop() {
      await app.close();
      await services.db.end();
    },
  };
}
