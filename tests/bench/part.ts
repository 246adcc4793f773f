import { existsSync, mkdirSync, readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';
import { tables } from '../../lib/log/tables';

/** Lays a generated log out in so many partitions: TABLE/part=N/part-0.parquet; its sheets stay at the top. */
export async function layOut(log: string, to: string, partitions: number): Promise<void> {
  if (existsSync(to)) return;
  mkdirSync(to, { recursive: true });
  const instance = await DuckDBInstance.create(':memory:');
  const connection = await instance.connect();
  try {
    for (const table of Object.values(tables)) {
      const files = readdirSync(log).filter((file) => file.replace(/(-\d+)?\.parquet$/, '') === table.name);
      if (files.length === 0) continue;
      const from = `read_parquet([${files.map((file) => `'${join(log, file)}'`).join(', ')}])`;
      const name = table.name;
      if (!table.columns.some((column) => column.name === 'job_id')) {
        await connection.run(`copy (from ${from}) to '${join(to, `${name}.parquet`)}' (format parquet)`);
        continue;
      }
      for (let part = 0; part < partitions; part += 1) {
        const folder = join(to, name, `part=${part}`);
        mkdirSync(folder, { recursive: true });
        await connection.run(`copy (from ${from} where hash(job_id) % ${partitions} = ${part})
          to '${join(folder, 'part-0.parquet')}' (format parquet, compression zstd)`);
      }
    }
  } catch (error) {
    rmSync(to, { recursive: true });
    throw error;
  } finally {
    connection.closeSync();
    instance.closeSync();
  }
}
