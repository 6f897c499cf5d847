# The targets that DEVELOPERS.md speaks of. README's two commands need Go alone.

.PHONY: build test thorough verify mutations golden lint fuzz uncertainty bench reports hostile parsers machines

build:
	go build -o ironbed .

test:
	go vet ./...
	go test ./...

# The tests on all machines and all cases: half an hour. The ordinary run takes some of each.
thorough:
	IRONBED_THOROUGH=1 go test -count=1 -timeout 90m ./...

# Reference and property tests alone, the table of ours against theirs, and compiler/verify/VERIFICATION.md held to it.
verify:
	rm -rf out/verify && mkdir -p out/verify
	IRONBED_VERIFY=$(CURDIR)/out/verify go test -count=1 -timeout 60m ./compiler/...
	go run ./compiler/verify/table out/verify

# One change in the physics at a time, and which rows of the table catch it: ten minutes. Writes compiler/verify/MUTATIONS.md.
mutations:
	go run ./compiler/verify/mutate

# Writes expected outputs anew: read the difference before you commit it.
golden:
	IRONBED_GOLDEN=1 go test -count=1 ./...

# Writes the reports of the examples anew.
reports: build
	for e in slipway-gantry spar-bench clockroom-mill sign-router; do \
		./ironbed report examples/$$e --out examples/$$e/report || test $$? -eq 1; done

lint:
	@test -z "$$(gofmt -l .)" || { gofmt -l .; exit 1; }
	go vet ./...
	go run honnef.co/go/tools/cmd/staticcheck@v0.8.2 ./...

# Ten minutes a target by default; `make fuzz FUZZTIME=30s` for a look. New inputs of interest stay in Go's cache, failing ones
# in testdata/fuzz, which is committed.
FUZZTIME ?= 10m
fuzz:
	go test -run '^$$' -fuzz FuzzParse -fuzztime $(FUZZTIME) ./spec/quantity
	go test -run '^$$' -fuzz FuzzLoad -fuzztime $(FUZZTIME) ./spec
	go test -run '^$$' -fuzz FuzzText -fuzztime $(FUZZTIME) ./spec
	go test -run '^$$' -fuzz FuzzUserTextStaysText -fuzztime $(FUZZTIME) ./render
	go test -run '^$$' -fuzz FuzzRender -fuzztime $(FUZZTIME) ./render/pdf
	go test -run '^$$' -fuzz FuzzOutline -fuzztime $(FUZZTIME) ./compiler/section
	go test -run '^$$' -fuzz FuzzFrame -fuzztime $(FUZZTIME) ./compiler/frame
	go test -run '^$$' -fuzz FuzzWhole -fuzztime $(FUZZTIME) ./compiler/internal/whole

# Machines drawn for a report against two thousand, solved in full: ten minutes.
machines:
	IRONBED_MACHINES=2000 go test -count=1 -v -timeout 60m -run ManyMachines ./compiler/chance

# What takes long: specs that come to no end, a thousand kills, fifty pairs of runs, a full disk.
hostile:
	IRONBED_HOSTILE=1 go test -count=1 -v -timeout 60m -run 'Attacks|PlainFile|HostileTexts|Outputs|Init|Killed' ./compiler/internal/whole
	IRONBED_HOSTILE=1 go test -count=1 -v -timeout 60m ./render/folder

# Reads a report whose texts are all hostile with parsers that are not ours. Needs npm with its registry, and qpdf.
parsers:
	rm -rf out/parsers && mkdir -p out/parsers
	cp compiler/internal/whole/testdata/parsers/* out/parsers
	cd out/parsers && npm install --no-audit --no-fund
	IRONBED_HOSTILE_OUT=$(CURDIR)/out/parsers/report go test -count=1 -run HostileTexts ./compiler/internal/whole
	cd out/parsers && node read.mjs report && node sarif.mjs report
	qpdf --check out/parsers/report/report.pdf
	qpdf --check out/parsers/report/derivations.pdf
	qpdf --check out/parsers/report/build-book.pdf

# Gives every quantity of the examples an uncertainty, one at a time: ten minutes.
uncertainty:
	IRONBED_UNCERTAIN=. go test -count=1 -timeout 60m -run UncertaintyWidens ./compiler/internal/whole

# Tables of times and memory: the commands beside `cue vet` of the same spec, `check` as machines grow, and one position in a
# general-purpose solver (CalculiX, where it is installed). A quarter of an hour; for nothing else to run meanwhile.
RUNS ?= 5
GROWTH ?= 1
bench:
	@go run ./compiler/internal/bench -runs $(RUNS) -growth $(GROWTH)
	@go run ./compiler/internal/bench/position examples/slipway-gantry
