import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  plugins: [svelte()],
  base: './',
  resolve: process.env.VITEST ? { conditions: ['browser'] } : {},
  worker: { format: 'es' },
  build: {
    target: ['chrome109', 'safari16'],
    // The door's content policy wants every file whole and beside the page.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    chunkSizeWarningLimit: 1600,
  },
  // The index of codes lies beside the page's folder.
  server: { host: '127.0.0.1', port: 5173, strictPort: true, fs: { allow: ['..'] } },
  test: {
    environment: 'jsdom',
    include: ['tests/**/*.test.ts', 'src/**/*.test.ts'],
    // Roles are worked out in full in a page of several hundred layers, on machines with two cores.
    testTimeout: 30_000,
    setupFiles: ['tests/setup.ts'],
  },
});
