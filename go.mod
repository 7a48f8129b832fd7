module castwright

go 1.26.0

require (
	github.com/alecthomas/participle/v2 v2.1.4
	github.com/stretchr/testify v1.12.1
	golang.org/x/text v0.43.0
	pgregory.net/rapid v1.3.0
)

require (
	github.com/rogpeppe/go-internal v1.16.0 // indirect
	go.yaml.in/yaml/v3 v3.0.5 // indirect
)
