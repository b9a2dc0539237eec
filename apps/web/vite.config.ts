import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

export default defineConfig({
  plugins: [react()],
  build: {
    outDir: '../../dist/web',
    emptyOutDir: true,
    // The content security policy allows no data: fonts or styles, so nothing is inlined.
    assetsInlineLimit: 0,
    target: 'es2022',
  },
});
