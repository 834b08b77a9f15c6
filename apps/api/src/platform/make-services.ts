import path from 'node:path';
import { type Clock, systemClock } from './clock';
import type { Config } from './config/config';
import { openDatabase } from './db/database';
import type { DatabaseRole } from './db/roles';
import { consoleLog } from './log';
import type { Services } from './services';
import { folderStorage } from './storage/folder-storage';

export function makeServices(
  config: Config,
  databaseUrl: string,
  role: DatabaseRole,
  name: string,
  clock: Clock = systemClock,
): Services {
  return {
    config,
    clock,
    db: openDatabase({ url: databaseUrl, role, clock }),
    storage: folderStorage(path.join(config.dataFolder, 'files')),
    log: consoleLog(config.CHORDAE_LOG, name),
  };
}
