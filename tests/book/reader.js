// Every cell of a workbook as exceljs reads it: node reader.js FILE > cells.json
'use strict'
const ExcelJS = require('exceljs')

// [text or number or null, formula or null]; dates as what they are counted in.
function plain(v, at) {
	if (v === null || v === undefined) return [null, null]
	if (v instanceof Date) return [v.getTime() / 86400000 + 25569, null]
	if (typeof v !== 'object') return [v, null]
	if ('formula' in v) return [plain(v.result, at)[0], v.formula]
	if ('error' in v) throw new Error(at + ' holds ' + v.error)
	throw new Error(at + ' holds neither text nor number nor formula: ' + Object.keys(v))
}

async function main() {
	const book = new ExcelJS.Workbook()
	await book.xlsx.readFile(process.argv[2])
	const out = {}
	book.eachSheet((s) => {
		const cells = (out[s.name] = {})
		s.eachRow((row) => row.eachCell((c) => {
			const [value, formula] = plain(c.value, s.name + '!' + c.address)
			if (value !== null || formula !== null) cells[c.address] = [value, formula]
		}))
	})
	process.stdout.write(JSON.stringify(out))
}

main().catch((e) => { console.error(String(e)); process.exit(1) })
