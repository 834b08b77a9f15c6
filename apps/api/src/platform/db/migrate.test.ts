import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { getTableColumns, getTableName, is } from 'drizzle-orm';
import { PgTable } from 'drizzle-orm/pg-core';
import postgres from 'postgres';
import { describe, expect, inject, it } from 'vitest';
import { databaseUrl } from '../../../../../tests/support/database-setup';
import { cloneDatabase } from '../../../../../tests/support/test-app';
import * as accounts from '../../features/accounts/accounts.tables';
import * as arrivals from '../../features/arrivals/arrivals.tables';
import * as cases from '../../features/cases/cases.tables';
import * as clips from '../../features/clips/clips.tables';
import * as deliveries from '../../features/deliveries/deliveries.tables';
import * as firstFrames from '../../features/first-frames/first-frames.tables';
import * as interpretations from '../../features/interpretations/interpretations.tables';
import * as leftWork from '../../features/left-work/left-work.tables';
import * as machineAccess from '../../features/machine-access/machine-access.tables';
import * as measurements from '../../features/measurements/measurements.tables';
import * as monthAccount from '../../features/month-account/month-account.tables';
import * as opinions from '../../features/opinions/opinions.tables';
import * as patientWork from '../../features/patient-work/patient-work.tables';
import * as rounds from '../../features/rounds/rounds.tables';
import * as scanReports from '../../features/scan-reports/scan-reports.tables';
import * as signatures from '../../features/signatures/signatures.tables';
import * as teaching from '../../features/teaching/teaching.tables';
import { checkHistory, migrate, readMigrations } from './migrate';

const folder = path.resolve(import.meta.dirname, '../../../migrations');

async function emptyDatabase<T>(work: (url: string) => Promise<T>): Promise<T> {
  const admin = postgres(inject('serverUrl'), { max: 1, onnotice: () => {} });
  const name = `m_${process.pid}_${Math.random().toString(36).slice(2, 8)}`;
  await admin.unsafe(`create database ${name}`);
  try {
    return await work(databaseUrl(inject('serverUrl'), name));
  } finally {
    await admin.unsafe(`drop database if exists ${name} with (force)`);
    await admin.end();
  }
}

describe('migrate', () => {
  it('does each migration once, run twice and by twenty at once', async () => {
    await emptyDatabase(async (url) => {
      const runs = await Promise.all(Array.from({ length: 20 }, () => migrate(url, folder)));
      expect(runs.flatMap((r) => r.applied)).toEqual(readMigrations(folder).map((m) => m.name));
      expect((await migrate(url, folder)).applied).toEqual([]);
    });
  });

  it('stops on an edited or unknown migration and on a gap, and names it', () => {
    const files = readMigrations(folder);
    expect(() => checkHistory([{ number: 1, name: '0001_spine.sql', hash: 'other' }], files)).toThrow(
      /0001_spine.sql was changed/,
    );
    expect(() => checkHistory([...files, { number: 99, name: '0099_later.sql', hash: 'x' }], files)).toThrow(
      /0099_later.sql/,
    );
    const gap = mkdtempSync(path.join(os.tmpdir(), 'chordae-migrations-'));
    writeFileSync(path.join(gap, '0002_second.sql'), 'select 1');
    expect(() => readMigrations(gap)).toThrow(/without a gap/);
    rmSync(gap, { recursive: true });
  });

  it('leaves nothing of a migration that fails half-way', async () => {
    const broken = mkdtempSync(path.join(os.tmpdir(), 'chordae-migrations-'));
    writeFileSync(
      path.join(broken, '0001_half.sql'),
      'create table half (id integer); select * from nowhere;',
    );
    await emptyDatabase(async (url) => {
      await expect(migrate(url, broken)).rejects.toThrow(/0001_half.sql.*nowhere/);
      const sql = postgres(url, { max: 1, onnotice: () => {} });
      expect(await sql`select 1 from information_schema.tables where table_name = 'half'`).toHaveLength(0);
      await sql.end();
    });
    rmSync(broken, { recursive: true });
  });
});

describe('the database', () => {
  it('has the columns that the tables in code name, and no table without them', async () => {
    const database = await cloneDatabase();
    const sql = postgres(database.url, { max: 1, onnotice: () => {} });
    const modules = [
      accounts,
      arrivals,
      cases,
      clips,
      deliveries,
      firstFrames,
      interpretations,
      leftWork,
      machineAccess,
      measurements,
      monthAccount,
      opinions,
      rounds,
      scanReports,
      patientWork,
      signatures,
      teaching,
    ];
    const tables = modules.flatMap((m) => Object.values(m)).filter((v): v is PgTable => is(v, PgTable));
    expect(tables.length).toBeGreaterThan(20);
    for (const table of tables) {
      const name = getTableName(table);
      const there = await sql<
        { column_name: string; is_nullable: string }[]
      >`select column_name, is_nullable from information_schema.columns where table_schema = 'public' and table_name = ${name}`;
      const wanted = Object.values(getTableColumns(table)).map((c) => [c.name, c.notNull] as const);
      expect(Object.fromEntries(wanted), name).toEqual(
        Object.fromEntries(there.map((c) => [c.column_name, c.is_nullable === 'NO'])),
      );
    }
    await sql.end();
    await database.drop();
  });

  it('forces row-level security on every table, and lets nobody of the application delete', async () => {
    const database = await cloneDatabase();
    const sql = postgres(database.url, { max: 1, onnotice: () => {} });
    const open =
      await sql`select relname from pg_class c join pg_namespace n on n.oid = c.relnamespace where n.nspname = 'public' and relkind = 'r' and not (relrowsecurity and relforcerowsecurity)`;
    expect(open.map((r) => r['relname'] as string)).toEqual([]);
    const deletable =
      await sql`select table_name from information_schema.role_table_grants where grantee in ('chordae_app', 'chordae_worker') and privilege_type = 'DELETE' and table_schema = 'public'`;
    expect(deletable.map((r) => r['table_name'] as string)).toEqual([]);
    const missing =
      await sql`select relname from pg_class c join pg_namespace n on n.oid = c.relnamespace where n.nspname = 'public' and relkind = 'r' and not exists (select 1 from pg_policies p where p.tablename = c.relname)`;
    expect(missing.map((r) => r['relname'] as string)).toEqual([]);
    await sql.end();
    await database.drop();
  });
});
