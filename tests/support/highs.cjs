// highs.cjs FOLDER FILE.lp SECONDS - HiGHS on one core, down to no gap, its log on standard output. FOLDER is one in which
// `npm install highs` was done, which is HiGHS as WebAssembly.
'use strict';
const fs = require('fs');
const [folder, file, seconds] = process.argv.slice(2);
const options = {
    threads: 1,
    mip_rel_gap: 0,
    mip_abs_gap: 0,
    mip_min_logging_interval: 0.5,
    time_limit: Number(seconds),
};

async function solve() {
    const highs = await require(`${folder}/node_modules/highs`)({ print: line => console.log(line) });
    highs.solve(fs.readFileSync(file, 'utf8'), options);
}

if (file === '--version') {
    require.resolve(`${folder}/node_modules/highs`);
    console.log('HiGHS (WebAssembly)');
} else {
    solve();
}
