# The targets that DEVELOPERS.md speaks of. README's two commands need Go alone.

.PHONY: build test thorough verify golden lint fuzz uncertainty bench reports

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

fuzz:
	go test -run '^$$' -fuzz FuzzParse -fuzztime 60s ./spec/quantity
	go test -run '^$$' -fuzz FuzzLoad -fuzztime 120s ./compiler/internal/whole
	go test -run '^$$' -fuzz FuzzWhole -fuzztime 120s ./compiler/internal/whole

# Gives every quantity of the examples an uncertainty, one at a time: ten minutes.
uncertainty:
	IRONBED_UNCERTAIN=. go test -count=1 -timeout 60m -run UncertaintyWidens ./compiler/internal/whole

# Times of check and report beside the time of evaluating the same CUE alone.
bench:
	go test -run '^$$' -bench 'Evaluate|Check|Report' -benchtime 20x ./compiler/internal/whole
	go test -run '^$$' -bench 'Members|Targets' -benchtime 1x ./compiler/internal/whole
	go test -run '^$$' -bench . ./compiler/frame ./compiler/reach ./spec/quantity
