import type { AddressInfo } from 'node:net';
import { buildApp } from './app';
import { settleLeftovers } from './features/arrivals';
import type { Config } from './platform/config/config';
import { makeServices } from './platform/make-services';

/** Listens until told to stop; arrivals that a crash left half settled are settled first. */
export async function startServer(config: Config, databaseUrl: string, portal: string | null) {
  const services = makeServices(config, databaseUrl, 'chordae_app', 'api');
  const app = await buildApp({ services, portal });
  const settled = await settleLeftovers(services);
  if (settled > 0) services.log.info({ settled }, 'arrivals settled after a restart');
  await app.listen({ host: config.HOST, port: config.PORT });
  const { port } = app.server.address() as AddressInfo;
  return {
    url: `http://${config.HOST.includes(':') ? `[${config.HOST}]` : config.HOST}:${port}`,
    async stop() {
      await app.close();
      await services.db.end();
    },
  };
}
