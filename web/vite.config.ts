import { svelte } from '@sveltejs/vite-plugin-svelte';
import { fileURLToPath } from 'node:url';
import { defineConfig, type PluginOption } from 'vite';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

export default defineConfig(async ({ mode }) => {
  const plugins: PluginOption[] = [svelte()];
  // `npm run dev -- --mode fake` plays against an invented patient; nothing of it reaches the build.
  if (mode === 'fake') plugins.push((await import('./dev/fake.ts')).fakeServer());
  return {
    plugins,
    resolve: { alias: { $lib: here('./src/lib') }, ...(process.env['VITEST'] ? { conditions: ['browser'] } : {}) },
    build: {
      outDir: here('../src/drillyard/static'),
      emptyOutDir: true,
      target: 'es2022',
    },
    server: {
      proxy:
        mode === 'fake'
          ? {}
          : {
              '/api': process.env['DRILLYARD_SERVER'] ?? 'http://127.0.0.1:8765',
              '/ws': { target: process.env['DRILLYARD_SERVER'] ?? 'http://127.0.0.1:8765', ws: true },
            },
    },
    test: { include: ['test/**/*.test.ts'] },
  };
});
